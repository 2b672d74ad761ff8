// Forms that whoever looks may only read: nothing can be typed into them. The server refuses them
// anyway; it says which these are.

export function connectShut(root) {
  for (const form of root.querySelectorAll("form[data-shut]")) {
    for (const field of form.elements) field.disabled = field.type !== "button";
  }
}
