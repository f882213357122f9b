// Long work in steps between which the page answers.

/** All that the steps yield; undefined where it was given up meanwhile. */
export async function inTurns<T>(
  steps: Iterable<T>,
  isGivenUp: () => boolean,
): Promise<readonly T[] | undefined> {
  const found: T[] = [];
  await nextTurn();
  for (const step of steps) {
    found.push(step);
    await nextTurn();
    if (isGivenUp()) return undefined;
  }
  return found;
}

const nextTurn = (): Promise<void> => new Promise((resume) => setTimeout(resume));

/** Runs it once what is on the page now has been drawn. */
export const afterFrame = (action: () => void): void =>
  void requestAnimationFrame(() => setTimeout(action));
