// Where a point of the yard falls on the canvas.
//
// Close, the yard is an elevation: one scale everywhere. Seen as somebody, it is what that person's eye has before it:
// what stands nearer than the panels is larger, and the ground rises toward the height of the eye.

/** Nothing is drawn as if nearer than this, in millimetres. */
const NEAREST = 900;

/** How much of a window one turn of the head moves. */
const TURN = 0.5;

export class View {
  /**
   * @param {any} bounds of the layout
   * @param {{width: number, height: number, density: number}} canvas
   * @param {{scale: number|null, away: number|null, eye: number|null, look: [number, number], from: number|null,
   *   aim: [number, number]|null}} seen `from` is where the eye stands across the yard, `aim` what it looks at, `look` how
   *   often the head was turned, across and up
   */
  constructor(bounds, canvas, { scale, away, eye, look, from, aim }) {
    Object.assign(this, canvas, { away, eye: eye ?? 0 });
    const { width, height } = canvas;
    const [top, bottom, sides] = width < 700 ? [56, 48, 16] : [64, 56, 70];
    const [wide, high] = [Math.max(bounds.right - bounds.left, 1), Math.max(bounds.top - bounds.bottom, 1)];
    const fit = Math.max(Math.min((width - 2 * sides) / wide, (height - top - bottom) / high), 0.001);
    this.s = scale ?? fit;
    this.larger = scale !== null && (wide * scale > width || high * scale > height - top - bottom);
    this.middle = from ?? (bounds.left + bounds.right) / 2;
    this.centre = width / 2 + (this.middle - (bounds.left + bounds.right) / 2) * this.s;
    this.ground = height - bottom;
    if (scale !== null) this.lookAt(bounds, top, bottom, aim ?? [(bounds.left + bounds.right) / 2, 0], look);
  }

  /** Brings what is looked at into the middle of the window, but never past the ends of the yard. */
  lookAt(bounds, top, bottom, aim, look) {
    const { width, height, s } = this;
    const between = (value, least, most) => (least > most ? (least + most) / 2 : Math.min(Math.max(value, least), most));
    const [halfWide, halfHigh] = [width / 2 / s, height / 2 / s];
    const x = between(aim[0] + TURN * look[0] * 2 * halfWide, bounds.left + halfWide - 60 / s, bounds.right - halfWide + 60 / s);
    const y = between(aim[1] + TURN * look[1] * 2 * halfHigh, halfHigh - bottom / s, bounds.top - halfHigh + top / s);
    this.centre = width / 2 + (this.middle - x) * s;
    // What fits stands on the ground; only what does not is looked up to.
    const fits = (bounds.top * s) <= height - top - bottom;
    this.ground = fits ? height - bottom : height / 2 + y * s;
  }

  /** How much nearer things are larger. */
  near(depth) {
    return this.away ? this.away / Math.max(this.away + depth, NEAREST) : 1;
  }

  x(mm, depth = 0) {
    return this.centre + (mm - this.middle) * this.s * this.near(depth);
  }

  y(mm, depth = 0) {
    return this.horizon() - (mm - this.eye) * this.s * this.near(depth);
  }

  /** The height of the eye on the canvas. */
  horizon() {
    return this.ground - this.eye * this.s;
  }
}
