// What of the script is not saved, as a page that is left sends it.

/** The fields that differ from what was `saved`, each with what was seen of it: a beacon carries little. */
export function changedFields(form, fields, saved) {
  const sent = new URLSearchParams();
  for (const field of fields.filter((each) => each.value !== saved.get(each.name))) {
    const seen = field.matches("select") ? `seen-${field.name}` : field.name.replace("said-", "seen-");
    sent.append(field.name, field.value);
    sent.append(seen, form.elements[seen].value);
  }
  return sent;
}
