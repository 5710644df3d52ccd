// What neither the Nu Html Checker nor axe-core asks of a report. Evaluated in the page as it is
// laid out at the moment; returns pairs of a problem and its place.
() => {
  const found = [];
  const root = document.documentElement;
  const edge = root.clientWidth;

  const place = (element) =>
    element.tagName.toLowerCase() +
    [...element.classList].map((name) => "." + name).join("") +
    ' "' + element.textContent.trim().slice(0, 40) + '"';

  // axe-core asks for header cells only in tables above 3 by 3.
  for (const table of document.querySelectorAll("table"))
    if (!table.querySelector("th")) found.push(["table without a header cell", place(table)]);

  // A page that scrolls sideways on a phone is no fault to axe-core. The innermost elements are
  // named, since their ancestors only follow; what sticks out of a box that scrolls is fair.
  const boxed = (element) =>
    element !== document.body &&
    (getComputedStyle(element).overflowX !== "visible" || boxed(element.parentElement));
  const sticksOut = (element) =>
    element.getBoundingClientRect().right > edge + 0.5 && !boxed(element.parentElement);
  if (root.scrollWidth > edge) {
    const innermost = [...document.body.querySelectorAll("body *")].filter(
      (element) => sticksOut(element) && ![...element.children].some(sticksOut));
    found.push([`scrolls sideways: ${root.scrollWidth} px wide at ${edge} px`,
      innermost.slice(0, 5).map(place).join(", ")]);
  }

  // axe-core leaves the contrast of text in drawings unjudged. Here the paint of the text meets
  // the first paint below its middle, a shape's or a box's. Paint that lets light through is taken
  // as solid, and a gradient is passed over.
  const channels = (paint) => (/^rgb/.test(paint) ? paint.match(/[\d.]+/g).map(Number) : null);
  const seen = (paint) => channels(paint) && channels(paint)[3] !== 0;
  const luminance = (paint) =>
    channels(paint).slice(0, 3)
      .map((c) => c / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4))
      .reduce((sum, c, i) => sum + c * [0.2126, 0.7152, 0.0722][i], 0);
  const paintOf = (element) =>
    getComputedStyle(element)[element instanceof SVGGeometryElement ? "fill" : "backgroundColor"];
  for (const text of document.querySelectorAll("svg text")) {
    const ink = getComputedStyle(text).fill;
    text.scrollIntoView({ block: "center" });
    const box = text.getBoundingClientRect();
    const below = document
      .elementsFromPoint(box.x + box.width / 2, box.y + box.height / 2)
      .filter((element) => !text.contains(element))
      .map(paintOf)
      .find(seen) || "rgb(255, 255, 255)";
    if (!box.width || !seen(ink)) continue;
    const [dark, light] = [luminance(ink), luminance(below)].sort((a, b) => a - b);
    const contrast = (light + 0.05) / (dark + 0.05);
    if (contrast < 4.5)
      found.push([`contrast in a drawing is ${contrast.toFixed(2)}, not 4.5 (${ink} on ${below})`,
        place(text)]);
  }
  window.scrollTo(0, 0);
  return found;
}
