// The points that a screen works with, chosen from lists beside the picture.
import {html, type TemplateResult} from "lit-html";
import {live} from "lit-html/directives/live.js";

// `at` is which of the chosen ones the list stands for; `choose` is told of all of them, the emptied one left out.
export function point_list(label: string, points: string[], chosen: string[], at: number, choose: (chosen: string[]) => void): TemplateResult {
  const now = chosen[at] ?? "";
  const change = (event: Event): void => {
    const next = [...chosen];
    next[at] = (event.target as HTMLSelectElement).value;
    choose(next.filter((point) => point !== undefined && point !== ""));
  };
  return html`
    <label>${label}
      <select .value=${live(now)} @change=${change}>
        <option value="" ?selected=${now === ""}>choose, or tap</option>
        ${points.map((name) => html`<option value=${name} ?selected=${name === now}>${name}</option>`)}
      </select></label>`;
}
