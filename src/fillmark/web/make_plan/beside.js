// While something is typed beside what is in force: how many times as much it is. The next page says it again.

const SPLIT = /^(\d+(?:[.,]\d+)?)\s*(.*)$/;
/** @type {(text: string) => { amount: number, unit: string } | null} */
function split(text) {
  const match = SPLIT.exec(text.trim());
  return match && { amount: Number(match[1].replace(",", ".")), unit: match[2].trim() };
}

for (const place of document.querySelectorAll("[data-before]")) {
  const input = /** @type {any} */ (place.closest(".field")?.querySelector("input[type=text], input:not([type])"));
  const unit = input?.parentElement.querySelector("select, span");
  const show = () => {
    const [old, typed] = [split(/** @type {HTMLElement} */ (place).dataset.before ?? ""), split(input.value)];
    const its = typed && (typed.unit || (unit?.value ?? unit?.textContent ?? ""));
    const is = old && typed && old.amount > 0 && typed.amount > 0 && its === old.unit && typed.amount !== old.amount;
    const factor = is ? Number((typed.amount / old.amount).toPrecision(3)) : 1;
    const words = place.querySelector("[data-factor]");
    words.textContent = is ? `${factor} times as much` : "";
  };
  input?.addEventListener("input", show);
  unit?.addEventListener("change", show);
}
