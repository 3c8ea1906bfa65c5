// Letters that no font of this device draws come as boxes, each alike: then their Latin letters stand instead.
const NO_LETTER = "\u{10FFFD}";

function pictureOf(letter) {
  const canvas = document.createElement("canvas");
  [canvas.width, canvas.height] = [32, 32];
  const brush = canvas.getContext("2d", { willReadFrequently: true });
  brush.font = `24px ${getComputedStyle(document.documentElement).fontFamily}`;
  brush.fillText(letter, 2, 26);
  return brush.getImageData(0, 0, 32, 32).data.join();
}

function legible(data) {
  const box = Object.keys(data.latin).length ? pictureOf(NO_LETTER) : "";
  const boxes = Object.entries(data.latin).filter(([run]) => [...run].some((letter) => pictureOf(letter) === box));
  if (!boxes.length) return data;
  const read = (value) => {
    if (typeof value === "string") return boxes.reduce((text, [run, latin]) => text.replaceAll(run, latin), value);
    if (Array.isArray(value)) return value.map(read);
    if (!value || typeof value !== "object" || value === data.relief) return value;
    return Object.fromEntries(Object.entries(value).map(([key, each]) => [key, read(each)]));
  };
  return read(data);
}
