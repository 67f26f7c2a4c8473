// A picture on a screen, with its buttons. It keeps its place and enlargement while the screen is drawn anew.
import {html, type TemplateResult} from "lit-html";
import {createRef, ref} from "lit-html/directives/ref.js";
import {Viewer} from "./picture.js";

export class Figure {
  private readonly holder = createRef<HTMLElement>();
  private viewer: Viewer | null = null;
  private text = "";
  private chosen: string[] = [];
  onPoint: ((name: string) => void) | null = null;

  constructor(private readonly tall = false) {}

  show(text: string): void {
    this.text = text;
    this.bind();
  }

  choose(names: string[]): void {
    this.chosen = names;
    this.bind();
  }

  points(): string[] {
    return this.viewer?.points() ?? [];
  }

  private bind(): void {
    const frame = this.holder.value;
    if (!frame) return;
    if (this.viewer?.frame !== frame) this.viewer = new Viewer(frame);
    const viewer = this.viewer;
    viewer.onPoint = (name) => this.onPoint?.(name);
    viewer.show(this.text, true);
    viewer.choose(this.chosen);
  }

  view(caption: string): TemplateResult {
    queueMicrotask(() => this.bind());
    const button = (face: string, name: string, act: (viewer: Viewer) => void): TemplateResult =>
      html`<button type="button" class="small" aria-label=${name} title=${name} @click=${() => this.viewer && act(this.viewer)}>${face}</button>`;
    return html`
      <figure class=${this.tall ? "picture tall" : "picture"}>
        <div class="frame" ${ref(this.holder)}></div>
        <div class="tools" role="group" aria-label="Picture">
          ${button("+", "Larger", (v) => v.zoom(1.5))}
          ${button("−", "Smaller", (v) => v.zoom(1 / 1.5))}
          ${button("←", "Left", (v) => v.pan(-0.25, 0))}
          ${button("→", "Right", (v) => v.pan(0.25, 0))}
          ${button("↑", "Up", (v) => v.pan(0, -0.25))}
          ${button("↓", "Down", (v) => v.pan(0, 0.25))}
          ${button("⤢", "All of it", (v) => v.reset())}
        </div>
        <figcaption>${caption}</figcaption>
      </figure>`;
  }
}
