// A lamp's light as pictures, drawn once for each colour and size: a core, blurred as an eye blurs it, and a glow.

export const WARM = "#ffe2a8";

/** Any CSS colour as red, green and blue; warm where it cannot be read. */
export function rgbOf(colour) {
  const pen = document.createElement("canvas").getContext("2d");
  pen.fillStyle = WARM;
  pen.fillStyle = colour;
  const hex = pen.fillStyle.startsWith("#") ? pen.fillStyle : WARM;
  return [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
}

const sprites = new Map();

/** A square picture that is drawn once. */
function kept(key, half, draw) {
  const known = sprites.get(key);
  if (known) return known;
  // A yard has a handful of colours and one size at a time; old sizes are not worth keeping.
  if (sprites.size > 60) sprites.clear();
  const sprite = document.createElement("canvas");
  [sprite.width, sprite.height] = [2 * half, 2 * half];
  draw(sprite.getContext("2d"));
  sprites.set(key, sprite);
  return sprite;
}

/**
 * The glow around a lamp.
 * @param {string} colour
 * @param {number} reach radius in pixels of the bitmap
 * @param {number} strength 1 for a lamp alone; less where glows lie over each other, so that they keep their colour
 */
export function glowSprite(colour, reach, strength) {
  const half = Math.max(Math.ceil(reach), 2);
  return kept(`glow ${colour} ${reach.toFixed(1)} ${strength.toFixed(2)}`, half, (pen) => {
    const [r, g, b] = rgbOf(colour);
    const glow = pen.createRadialGradient(half, half, 0, half, half, reach);
    for (const [stop, alpha] of [[0, 0.5], [0.15, 0.3], [0.3, 0.15], [0.6, 0.045], [1, 0]]) {
      glow.addColorStop(stop, `rgba(${r}, ${g}, ${b}, ${(alpha * strength).toFixed(4)})`);
    }
    pen.fillStyle = glow;
    pen.fillRect(0, 0, 2 * half, 2 * half);
  });
}

/**
 * The lamp itself, blurred as an eye blurs it.
 * @param {string} colour
 * @param {number} core radius in pixels of the bitmap
 * @param {number} blur in the same pixels
 */
export function coreSprite(colour, core, blur) {
  const edge = core + blur;
  const half = Math.max(Math.ceil(edge), 2);
  return kept(`core ${colour} ${core.toFixed(2)} ${blur.toFixed(2)}`, half, (pen) => {
    const [r, g, b] = rgbOf(colour);
    const white = (share) => [r, g, b].map((part) => Math.round(part + (255 - part) * share)).join(", ");
    const disc = pen.createRadialGradient(half, half, Math.max(core - blur, 0), half, half, edge);
    disc.addColorStop(0, `rgba(${white(0.16)}, 1)`);
    disc.addColorStop(0.5, `rgba(${white(0.08)}, 0.7)`);
    disc.addColorStop(1, `rgba(${r}, ${g}, ${b}, 0)`);
    pen.fillStyle = disc;
    pen.fillRect(0, 0, 2 * half, 2 * half);
  });
}
