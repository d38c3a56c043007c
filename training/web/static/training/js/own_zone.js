// Proposes the browser's own time zone where none is chosen yet. Without this file one chooses.
const own = Intl.DateTimeFormat().resolvedOptions().timeZone;

document.querySelectorAll("select[data-own-zone]").forEach((select) => {
  const known = [...select.options].some((option) => option.value === own);
  if (select.value === "" && known) select.value = own;
});
