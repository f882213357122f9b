// Says tempo and verdict aloud where this machine can speak, so that eyes can stay on the hands.
import type { Settings } from '../../app/services/contract/contract.ts';

export type SpeechChoice = Settings['speech'];

/** The voices of this machine; some browsers know them only after a while (listen with {@link onVoices}). */
export const voices = (): readonly SpeechSynthesisVoice[] =>
  canSpeak() ? speechSynthesis.getVoices() : [];

/** Can this browser speak at all? */
export const canSpeak = (): boolean => 'speechSynthesis' in globalThis;

/** Hears whenever the list of voices changes; returns the function that ends it. */
export function onVoices(listener: () => void): () => void {
  if (!canSpeak()) return () => undefined;
  speechSynthesis.addEventListener('voiceschanged', listener);
  return () => speechSynthesis.removeEventListener('voiceschanged', listener);
}

/** Says `text` after what is being said; silent where speech is off or absent. */
export function say(text: string, { on, voice, rate }: SpeechChoice): void {
  if (!on || !canSpeak() || text === '') return;
  const utterance = new SpeechSynthesisUtterance(text);
  utterance.voice = voices().find((v) => v.voiceURI === voice) ?? null;
  utterance.lang = utterance.voice?.lang ?? 'en';
  utterance.rate = rate;
  speechSynthesis.speak(utterance);
}

/** Ends what is being said: old news is worse than none. */
export const hush = (): void => {
  if (canSpeak()) speechSynthesis.cancel();
};
