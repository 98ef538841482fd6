// Fetches what draws hair only once there is hair to draw on the page.

function look() {
  if (document.querySelector("[data-strands]:not([data-begun])")) import("./start.js");
}

document.addEventListener("htmx:load", look);
look();
