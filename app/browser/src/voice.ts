// A step read aloud, by a voice that is on this machine; one that would send the text away is never used.

function local_voice(): SpeechSynthesisVoice | null {
  const voices = globalThis.speechSynthesis?.getVoices().filter((voice) => voice.localService) ?? [];
  return voices.find((voice) => voice.lang.startsWith("en")) ?? null;
}

export function has_voice(): boolean {
  return local_voice() !== null;
}

export function say(text: string): void {
  const voice = local_voice();
  if (!voice) return;
  speechSynthesis.cancel();
  const speech = new SpeechSynthesisUtterance(text);
  speech.voice = voice;
  speech.lang = voice.lang;
  speechSynthesis.speak(speech);
}

export function hush(): void {
  globalThis.speechSynthesis?.cancel();
}
