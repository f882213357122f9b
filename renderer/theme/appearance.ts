// Puts the chosen theme and motion on the root element, where tokens.css and base.css read them.
import type { Settings } from '../../app/services/contract/contract.ts';

/** @param root the element of the document */
export function applyAppearance(
  root: HTMLElement,
  choice: Pick<Settings, 'theme' | 'reducedMotion'>,
): void {
  if (choice.theme === 'system') delete root.dataset['theme'];
  else root.dataset['theme'] = choice.theme;
  root.dataset['motion'] = { on: 'less', off: 'full', system: 'system' }[choice.reducedMotion];
}

/** Is motion to be kept low, by the player's choice or the system's? */
export function lessMotion(choice: Settings['reducedMotion']): boolean {
  if (choice !== 'system') return choice === 'on';
  return matchMedia('(prefers-reduced-motion: reduce)').matches;
}
