// Shows what a block or gate of a picture says beside it in a box under the picture, on
// pointing at it and on reaching it by the keyboard. Without this script the words are
// there for reading aloud, and on the page behind each block.
"use strict";
(() => {
  const tell = (e) => {
    const link = e.target.closest?.(".field a");
    if (!link) return;
    const box = link.closest(".field").nextElementSibling;
    const words = link.querySelector("title")?.textContent;
    if (words && box?.classList.contains("told")) box.textContent = words;
  };
  document.addEventListener("pointerover", tell);
  document.addEventListener("focusin", tell);
})();
