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

/** Longest wait for a page that is never at rest. */
const AT_LAST_MS = 500;

/** Runs one after the other, each once the page is at rest, so that presses between them are answered. Returns what ends it. */
export function atRest(actions: readonly (() => void)[]): () => void {
  let asked = 0;
  const next = ([first, ...rest]: readonly (() => void)[]): void => {
    if (!first) return;
    const run = (): void => {
      first();
      next(rest);
    };
    asked = requestIdleCallback(run, { timeout: AT_LAST_MS });
  };
  next(actions);
  return () => cancelIdleCallback(asked);
}
