"use strict";
(function () {
  var all = function (what, within) {
    return Array.prototype.slice.call((within || document).querySelectorAll(what));
  };

  /* Long chapters are folded away, and opened for a link that leads there and for paper. */
  var folded = all("details[data-fold]");
  folded.forEach(function (d) { d.open = false; });
  function openTarget() {
    var to = location.hash.length > 1 ? document.getElementById(location.hash.slice(1)) : null;
    var d = to ? to.querySelector("details") : null;
    if (d) { d.open = true; }
  }
  window.addEventListener("hashchange", openTarget);
  all(".contents a").forEach(function (a) {
    a.addEventListener("click", function () { window.setTimeout(openTarget, 0); });
  });
  openTarget();
  var reopened = [];
  window.addEventListener("beforeprint", function () {
    reopened = all("details").filter(function (d) { return !d.open; });
    reopened.forEach(function (d) { d.open = true; });
  });
  window.addEventListener("afterprint", function () {
    reopened.forEach(function (d) { d.open = false; });
  });

  /* One valve state, or all of them. */
  var form = document.querySelector(".switch");
  /* Of curves that are one a state, the others are drawn faintly. */
  function dim(state) {
    all("figure[data-chart]").forEach(function (chart) {
      if (chart.closest("[data-state]")) { return; }
      var own = all("thead th", chart).slice(1).map(function (name) {
        return name.textContent.split(", ").indexOf(state) >= 0;
      });
      var some = own.indexOf(true) >= 0;
      own.forEach(function (is, i) {
        all(".b-curve-" + (i + 1) + ", .b-spot-" + (i + 1), chart).forEach(function (line) {
          line.classList.toggle("faint", some ? !is : false);
        });
      });
    });
  }
  function show(state) {
    dim(state);
    all("[data-state]").forEach(function (s) {
      s.hidden = state !== "" ? s.getAttribute("data-state") !== state : false;
    });
    all("[data-of]").forEach(function (cell) {
      cell.classList.toggle("now", state !== "" ? cell.getAttribute("data-of") === state : false);
    });
  }
  if (form) {
    form.hidden = false;
    form.addEventListener("change", function (e) { show(e.target.value); });
    form.addEventListener("submit", function (e) { e.preventDefault(); });
    var chosen = form.querySelector("input:checked");
    if (chosen) { show(chosen.value); }
  }

  /* Values under the pointer, or along the curves with the arrow keys, from the table below a chart. */
  var SVG = "http://www.w3.org/2000/svg";
  function numberOf(words) {
    return parseFloat(words.replace("\u2212", "-"));
  }
  function axisOf(words) {
    var part = words.split(" ");
    var low = Number(part[0]), high = Number(part[1]);
    return part[2] === "log"
      ? function (v) { return Math.log(v / low) / Math.log(high / low); }
      : function (v) { return (v - low) / (high - low); };
  }
  function draw(name, within, attributes) {
    var node = document.createElementNS(SVG, name);
    Object.keys(attributes).forEach(function (k) { node.setAttribute(k, attributes[k]); });
    return within.appendChild(node);
  }
  function makeReadable(chart) {
    var svg = chart.querySelector("svg"), table = chart.querySelector("table");
    if (!svg || !table) { return; }
    var plot = chart.querySelector(".plot"), readout = chart.querySelector(".readout");
    var unit = chart.getAttribute("data-chart");
    var box = svg.getAttribute("data-plot").split(" ").map(Number);
    var across = axisOf(svg.getAttribute("data-x")), up = axisOf(svg.getAttribute("data-y"));
    var names = all("thead th", table).map(function (c) { return c.textContent; });
    var rows = all("tbody tr", table).map(function (row) {
      var words = Array.prototype.map.call(row.children, function (c) { return c.textContent; });
      return { words: words, x: box[0] + box[2] * across(numberOf(words[0])) };
    });
    if (rows.length === 0) { return; }
    var comma = names[0].lastIndexOf(", ");
    var what = comma > 0 ? names[0].slice(0, comma) : names[0];
    var measure = comma > 0 ? names[0].slice(comma + 2) : "";
    var cursor = null, at = -1;
    function put(k) {
      at = Math.max(0, Math.min(rows.length - 1, k));
      var row = rows[at];
      if (cursor) { cursor.remove(); }
      cursor = draw("g", svg, { "class": "cursor", "aria-hidden": "true" });
      draw("line", cursor, { x1: row.x, x2: row.x, y1: box[1], y2: box[1] + box[3] });
      var said = [];
      row.words.slice(1).forEach(function (words, i) {
        var value = numberOf(words);
        if (!isNaN(value)) {
          said.push((names.length > 2 ? names[i + 1] + " " : "") + words);
          draw("circle", cursor, { cx: row.x, cy: box[1] + box[3] * (1 - up(value)), r: 3 });
        }
      });
      readout.textContent = "At " + what + " " + row.words[0] + (measure ? " " + measure : "") + ": " +
        said.join(", ") + (unit ? " " + unit : "") + ".";
    }
    plot.tabIndex = 0;
    plot.setAttribute("role", "group");
    plot.setAttribute("aria-label", svg.querySelector("title").textContent + ": the arrow keys read values");
    readout.setAttribute("aria-live", "polite");
    readout.textContent = "Point at the chart, or go to it and use the arrow keys, to read values.";
    plot.addEventListener("pointermove", function (e) {
      var seen = svg.getBoundingClientRect();
      var x = (e.clientX - seen.left) * svg.viewBox.baseVal.width / seen.width;
      var nearest = 0;
      rows.forEach(function (row, k) {
        if (Math.abs(row.x - x) < Math.abs(rows[nearest].x - x)) { nearest = k; }
      });
      if (nearest !== at) { put(nearest); }
    });
    plot.addEventListener("keydown", function (e) {
      var to = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: rows.length - 1,
        PageUp: at + 5, PageDown: at - 5 }[e.key];
      if (to !== undefined) {
        put(to);
        e.preventDefault();
      }
    });
  }
  all("figure[data-chart]").forEach(makeReadable);

  /* Only what scrolls takes a place in the order of the keyboard. */
  function settle() {
    all(".box, .plan").forEach(function (box) {
      if (box.scrollWidth > box.clientWidth) {
        box.setAttribute("tabindex", "0");
      } else {
        box.removeAttribute("tabindex");
      }
    });
  }
  window.addEventListener("resize", settle);
  document.addEventListener("toggle", settle, true);
  settle();
})();
