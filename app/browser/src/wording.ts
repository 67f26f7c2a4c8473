// Sentences that more than one screen says.
import {html, type TemplateResult} from "lit-html";
import type {Setting} from "./engine.js";

export function shock_banner(): TemplateResult {
  return html`<p class="banner bad" role="alert"><b>Stop.</b> A shock is mains wiring, or lethal voltage inside an amplifier: it belongs to a
    licensed electrician or a qualified amplifier technician, under local codes. Unplug, and touch nothing more.</p>`;
}

export function words_of_setting(setting: Setting): string {
  const places = Object.entries(setting).map(([control, place]) => `${control} ${place}`);
  return places.length > 0 ? `, with ${places.join(", ")}` : "";
}

// "with nothing opened", as the plan says it.
export function cover_in_words(cover: string | undefined): string {
  if (cover === undefined) return "";
  if (cover === "outside") return "With nothing opened";
  return cover === "cavity" ? "With the cavity open" : `With the ${cover} open`;
}
