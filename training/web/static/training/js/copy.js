// A button that copies a text beside it. Without this script the text is there to be marked.
for (const button of document.querySelectorAll("[data-copy]")) {
  const text = document.getElementById(button.dataset.copy);
  const said = button.textContent;
  button.hidden = !navigator.clipboard;
  button.addEventListener("click", async () => {
    await navigator.clipboard.writeText(text.value);
    button.textContent = button.dataset.copied;
    setTimeout(() => { button.textContent = said; }, 3000);
  });
}
