// The engine's picture in the page: taken over element by element, enlarged and moved by its viewBox, tapped at points.

const kElements = new Set(["svg", "g", "rect", "circle", "ellipse", "path", "line", "polyline", "polygon", "text", "tspan", "title", "desc"]);
const kAttributes = new Set([
  "viewBox", "x", "y", "x1", "y1", "x2", "y2", "width", "height", "r", "rx", "ry", "cx", "cy", "d", "points", "transform", "fill", "stroke",
  "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray", "fill-opacity", "stroke-opacity", "opacity", "font-size",
  "font-weight", "font-style", "font-family", "text-anchor", "textLength", "lengthAdjust", "class", "id", "role", "aria-labelledby",
]);
const kNamespace = "http://www.w3.org/2000/svg";

// A copy that holds only what a picture needs: no script, no style sheet, no address, no handler.
function copied(from: Element): Element | null {
  if (from.namespaceURI !== kNamespace || !kElements.has(from.localName)) return null;
  const to = document.createElementNS(kNamespace, from.localName);
  for (const {name, value} of [...from.attributes]) {
    if ((kAttributes.has(name) || /^data-[a-z]+$/.test(name)) && !/url\s*\(/i.test(value)) to.setAttribute(name, value);
  }
  for (const child of [...from.childNodes]) {
    if (child instanceof Element) {
      const inner = copied(child);
      if (inner) to.append(inner);
    } else if (child.nodeType === Node.TEXT_NODE) {
      to.append(child.textContent ?? "");
    }
  }
  return to;
}

// Null where the text is no picture.
export function picture_from(text: string): SVGSVGElement | null {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml");
  if (parsed.querySelector("parsererror")) return null;
  return copied(parsed.documentElement) as SVGSVGElement | null;
}

// The names of the points it shows: those of the parts, then the ends of wires and leads in their joints.
export function points_in(svg: SVGSVGElement): string[] {
  const names = new Set<string>();
  for (const element of svg.querySelectorAll("[data-point]")) names.add(element.getAttribute("data-point") ?? "");
  for (const element of svg.querySelectorAll("[data-lead]")) names.add(element.getAttribute("data-lead") ?? "");
  names.delete("");
  return [...names];
}

const kReach = 30; // pixels from a point within which a tap means it

interface View {
  x: number;
  y: number;
  width: number;
  height: number;
}

// Shows one picture in `frame`; buttons and fingers move it, a tap names the nearest point.
export class Viewer {
  private svg: SVGSVGElement | null = null;
  private whole: View = {x: 0, y: 0, width: 1, height: 1};
  private view: View = this.whole;
  private text = "";
  private readonly fingers = new Map<number, {x: number; y: number}>();
  private moved = false;
  private chosen: string[] = [];
  onPoint: ((name: string) => void) | null = null;

  constructor(readonly frame: HTMLElement) {
    frame.addEventListener("pointerdown", (event) => this.down(event));
    frame.addEventListener("pointermove", (event) => this.move(event));
    frame.addEventListener("pointerup", (event) => this.up(event));
    frame.addEventListener("pointercancel", (event) => this.fingers.delete(event.pointerId));
  }

  // `keep`: enlarged and moved as the last one was, where it has the same size.
  show(text: string, keep = false): void {
    if (text === this.text) return;
    this.text = text;
    this.svg = picture_from(text);
    if (!this.svg) {
      this.frame.replaceChildren();
      return;
    }
    const box = (this.svg.getAttribute("viewBox") ?? "0 0 100 100").split(" ").map(Number);
    const whole = {x: box[0] ?? 0, y: box[1] ?? 0, width: box[2] ?? 100, height: box[3] ?? 100};
    const same = whole.width === this.whole.width && whole.height === this.whole.height;
    this.whole = whole;
    if (!keep || !same) this.view = whole;
    this.svg.removeAttribute("width");
    this.svg.removeAttribute("height");
    this.frame.style.setProperty("--shape", `${whole.width} / ${whole.height}`);
    this.frame.replaceChildren(this.svg);
    this.choose(this.chosen);
    this.apply();
  }

  points(): string[] {
    return this.svg ? points_in(this.svg) : [];
  }

  zoom(factor: number): void {
    const {x, y, width, height} = this.view;
    const wide = Math.min(this.whole.width, Math.max(this.whole.width / 12, width / factor));
    const tall = (wide * this.whole.height) / this.whole.width;
    this.view = {x: x + (width - wide) / 2, y: y + (height - tall) / 2, width: wide, height: tall};
    this.apply();
  }

  // By a share of what is seen.
  pan(right: number, down: number): void {
    this.view = {...this.view, x: this.view.x + right * this.view.width, y: this.view.y + down * this.view.height};
    this.apply();
  }

  reset(): void {
    this.view = this.whole;
    this.apply();
  }

  // Rings around points, lettered in their order.
  choose(names: string[]): void {
    this.chosen = names;
    if (!this.svg) return;
    this.svg.querySelector("g.chosen")?.remove();
    const group = document.createElementNS(kNamespace, "g");
    group.setAttribute("class", "chosen");
    for (const name of names) {
      const spot = this.spot_of(name);
      if (!spot) continue;
      const ring = document.createElementNS(kNamespace, "circle");
      for (const [key, value] of Object.entries({cx: spot.x, cy: spot.y, r: 11, fill: "none", stroke: "#b3261e", "stroke-width": 3}))
        ring.setAttribute(key, String(value));
      group.append(ring);
    }
    this.svg.append(group);
  }

  private element_of(name: string): SVGGraphicsElement | null {
    if (!this.svg) return null;
    const value = CSS.escape(name);
    return this.svg.querySelector<SVGGraphicsElement>(`[data-point="${value}"]`) ??
      this.svg.querySelector<SVGGraphicsElement>(`[data-lead="${value}"]`);
  }

  // In the picture's own units.
  private spot_of(name: string): DOMPoint | null {
    const element = this.element_of(name);
    const own = this.svg?.getScreenCTM();
    if (!element || !own) return null;
    const box = element.getBoundingClientRect();
    return new DOMPoint(box.x + box.width / 2, box.y + box.height / 2).matrixTransform(own.inverse());
  }

  private apply(): void {
    const {width, height} = this.view;
    const x = Math.min(Math.max(this.view.x, this.whole.x), this.whole.x + this.whole.width - width);
    const y = Math.min(Math.max(this.view.y, this.whole.y), this.whole.y + this.whole.height - height);
    this.view = {x, y, width, height};
    this.svg?.setAttribute("viewBox", `${x} ${y} ${width} ${height}`);
    this.frame.classList.toggle("enlarged", width < this.whole.width);
  }

  private down(event: PointerEvent): void {
    if (this.fingers.size === 0) this.moved = false;
    this.fingers.set(event.pointerId, {x: event.clientX, y: event.clientY});
  }

  private move(event: PointerEvent): void {
    const before = this.fingers.get(event.pointerId);
    if (!before) return;
    const across = event.clientX - before.x;
    const along = event.clientY - before.y;
    const scale = this.view.width / Math.max(1, this.frame.clientWidth);
    if (this.fingers.size === 2) {
      const other = [...this.fingers].find(([id]) => id !== event.pointerId)?.[1];
      if (!other) return;
      const was = Math.hypot(before.x - other.x, before.y - other.y);
      const is = Math.hypot(event.clientX - other.x, event.clientY - other.y);
      if (was > 10 && is > 10) this.zoom(is / was);
      this.moved = true;
      this.fingers.set(event.pointerId, {x: event.clientX, y: event.clientY});
      return;
    }
    if (!this.moved && Math.hypot(across, along) < 8) return;
    if (this.view.width >= this.whole.width) return; // the page scrolls
    this.moved = true;
    this.fingers.set(event.pointerId, {x: event.clientX, y: event.clientY});
    this.view = {...this.view, x: this.view.x - across * scale, y: this.view.y - along * scale};
    this.apply();
  }

  private up(event: PointerEvent): void {
    const down = this.fingers.get(event.pointerId);
    this.fingers.delete(event.pointerId);
    if (!down || this.moved || !this.onPoint) return;
    const name = this.nearest(event.clientX, event.clientY);
    if (name) this.onPoint(name);
  }

  // Where a wire's end lies on a lug, the lug is meant: its ends are in the lists.
  private nearest(x: number, y: number): string | null {
    let best: string | null = null;
    let least = kReach;
    for (const element of this.svg?.querySelectorAll("[data-point]") ?? []) {
      const box = element.getBoundingClientRect();
      const dx = Math.max(box.left - x, 0, x - box.right);
      const dy = Math.max(box.top - y, 0, y - box.bottom);
      // A large outline, a case's say, only where nothing smaller is as near.
      const away = Math.hypot(dx, dy) + Math.min(12, Math.max(box.width, box.height) / 8);
      if (away < least) {
        least = away;
        best = element.getAttribute("data-point");
      }
    }
    return best;
  }
}
