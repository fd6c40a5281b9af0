// The Print button of a card. Without this script there is none: the browser's own command prints.
const button = document.getElementById("print");
button.hidden = false;
button.addEventListener("click", () => window.print());
