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
  function show(state) {
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

  /* Only what scrolls takes a place in the order of the keyboard. */
  function settle() {
    all(".box").forEach(function (box) {
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
