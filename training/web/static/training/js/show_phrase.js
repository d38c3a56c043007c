// A button after each field for a pass phrase, which shows what is typed. Without this file it
// stays hidden.
document.querySelectorAll("input[data-show]").forEach((field) => {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "link small";
  const say = (shown) => {
    field.type = shown ? "text" : "password";
    button.textContent = shown ? field.dataset.hide : field.dataset.show;
  };
  button.setAttribute("aria-controls", field.id);
  button.addEventListener("click", () => say(field.type === "password"));
  // Never sent as a text field: browsers would offer it again in clear.
  field.form?.addEventListener("submit", () => say(false));
  say(false);
  field.after(button);
});
