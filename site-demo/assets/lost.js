// The page for an address that does not exist is served at any depth: where this file lies says where the site begins.
(function () {
  "use strict";
  var root = document.currentScript.src.replace(/assets\/lost\.js.*$/, ""), style = document.createElement("link");
  // It is asked for at several depths; the first that is there counts.
  if (document.documentElement.hasAttribute("data-root")) return;
  document.documentElement.setAttribute("data-root", root);
  style.rel = "stylesheet";
  style.href = root + "assets/style.css";
  document.head.appendChild(style);
  Array.prototype.forEach.call(document.querySelectorAll("a[href]"), function (link) {
    var to = link.getAttribute("href");
    if (!/^([a-z]+:|#|\/)/i.test(to)) link.setAttribute("href", root + to);
  });
}());
