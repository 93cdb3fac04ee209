// Writes, for each frame, the boxes, sizes and colours of every text that is seen.
// A text's ground is the topmost filled box that was painted before it and holds its middle.
function holds(box, x, y) {
  return box.left <= x && x <= box.right && box.top <= y && y <= box.bottom;
}
function plain(box) {
  return [box.left, box.top, box.right, box.bottom];
}
function measured(frame) {
  const view = frame.contentWindow;
  const sheet = frame.contentDocument.querySelector("svg");
  const grounds = [];
  const texts = [];
  for (const each of sheet.querySelectorAll("rect, text")) {
    const box = each.getBoundingClientRect();
    if (each.closest("defs") || !(box.width && box.height)) continue;
    const style = view.getComputedStyle(each);
    if (each.tagName === "rect") {
      grounds.push([box, style.fill]);
      continue;
    }
    const x = (box.left + box.right) / 2;
    const y = (box.top + box.bottom) / 2;
    const under = grounds.filter((ground) => holds(ground[0], x, y)).pop();
    texts.push({
      text: each.textContent, box: plain(box), size: parseFloat(style.fontSize),
      ink: style.fill, ground: under ? under[1] : "none",
    });
  }
  const dark = view.matchMedia("(prefers-color-scheme: dark)").matches;
  const shapes = [...sheet.querySelectorAll("use, path")]
    .filter((each) => !each.closest("defs")).map((each) => each.getBoundingClientRect())
    .filter((box) => box.width && box.height).map(plain);
  return {
    texts, shapes, sheet: plain(sheet.getBoundingClientRect()), scheme: dark ? "dark" : "light",
    wide: view.innerWidth, scroll: view.document.documentElement.scrollWidth,
  };
}
window.addEventListener("load", () => {
  const told = [...document.querySelectorAll("iframe")].map(measured);
  const pre = document.createElement("pre");
  pre.textContent = JSON.stringify(told);
  document.body.replaceChildren(pre);
});
