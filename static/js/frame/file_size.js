// Of a file that is chosen, whether it is too large, before it is sent.

/** Connects the field for a file, where the page has one that says how large it may be. */
export function connectFileSize(root) {
  const field = root.querySelector("input[type=file][data-most]");
  field?.addEventListener("change", () => holdBack(field));
}

// A file that will be refused is not sent first: that could take minutes.
function holdBack(field) {
  const isTooLarge = (field.files[0]?.size ?? 0) > Number(field.dataset.most);
  field.form.querySelector("[data-too-large]").hidden = !isTooLarge;
  field.form.querySelector("button").disabled = isTooLarge;
}
