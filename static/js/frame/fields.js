// What stands in a field, and what stood in it when it was drawn.

/** The text with which a field was drawn. */
export function drawn(field) {
  if (field.tagName !== "SELECT") return field.defaultValue;
  return [...field.options].find((each) => each.defaultSelected)?.value ?? field.options[0]?.value;
}

/** Whether a person, or the library for them, put something else into a field. */
export function isTypedIn(field) {
  if (!field.name || field.matches("button, fieldset, [type=hidden], [type=file]")) return false;
  if (field.matches("[type=checkbox], [type=radio]")) return field.checked !== field.defaultChecked;
  return field.value !== drawn(field);
}
