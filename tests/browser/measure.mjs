// measure.mjs: what is measured inside a page: what runs over its edge, and the contrast of words.
// SPDX-License-Identifier: MIT

// Elements beyond the right edge that no box of their own holds; the page as a whole first.
export function overflows() {
  const found = [];
  const page = document.documentElement;
  if (page.scrollWidth > page.clientWidth) {
    found.push(`the page is ${page.scrollWidth} wide and has room for ${page.clientWidth}`);
  }
  for (const e of document.body.querySelectorAll("*")) {
    const box = e.getBoundingClientRect();
    if (box.width === 0 || e.closest(".box, .plan, svg, .contents, .switch input") !== null) {
      continue;
    }
    if (box.right > page.clientWidth + 1 || box.left < -1) {
      found.push(`<${e.localName} class="${e.className}"> reaches from ${box.left} to ${box.right}`);
      break;
    }
  }
  return found;
}

// Contrast of each text against what is painted behind it, by WCAG 2.2, 1.4.3: 4.5 at least, 3 where
// it is large.
export function contrasts() {
  const parse = (colour) => {
    const part = colour.match(/[\d.]+/g).map(Number);
    return { r: part[0], g: part[1], b: part[2], a: part.length > 3 ? part[3] : 1 };
  };
  const over = (top, under) => ({
    r: top.r * top.a + under.r * (1 - top.a),
    g: top.g * top.a + under.g * (1 - top.a),
    b: top.b * top.a + under.b * (1 - top.a),
    a: 1,
  });
  const channel = (c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4);
  const luminance = (c) => 0.2126 * channel(c.r) + 0.7152 * channel(c.g) + 0.0722 * channel(c.b);
  const behind = (e) => {
    const layers = [];
    for (let at = e; at !== null; at = at.parentElement) {
      const colour = parse(getComputedStyle(at).backgroundColor);
      if (colour.a > 0) {
        layers.push(colour);
      }
      if (colour.a === 1) {
        break;
      }
    }
    const dark = matchMedia("(prefers-color-scheme: dark)").matches;
    let ground = dark ? { r: 18, g: 18, b: 18, a: 1 } : { r: 255, g: 255, b: 255, a: 1 };
    for (const layer of layers.reverse()) {
      ground = over(layer, ground);
    }
    return ground;
  };
  const low = [];
  let measured = 0;
  for (const e of document.body.querySelectorAll("*")) {
    const own = [...e.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.data.trim() !== "");
    if (!own || !e.checkVisibility() || e.closest("script, style, title, desc") !== null) {
      continue;
    }
    const style = getComputedStyle(e);
    const drawn = e instanceof SVGElement;
    const ground = behind(drawn ? e.closest("svg").parentElement : e);
    const words = over(parse(drawn ? style.fill : style.color), ground);
    const [a, b] = [luminance(words), luminance(ground)];
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    const size = parseFloat(style.fontSize);
    const large = size >= 24 || (size >= 18.66 && Number(style.fontWeight) >= 700);
    measured++;
    if (ratio < (large ? 3 : 4.5) && low.length < 10) {
      low.push(`contrast ${ratio.toFixed(2)} of "${e.textContent.trim().slice(0, 40)}" (${e.localName})`);
    }
  }
  return { measured, low };
}
