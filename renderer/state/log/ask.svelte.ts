// What a room shows of the log: an answer that is asked for anew whenever the question or the log changes.

export interface Answer<T> {
  /** Undefined before the first answer; the last one stays until the next. */
  readonly now: T | undefined;
}

/**
 * For the start of a component.
 * @param question reads what it asks about; undefined where there is nothing to ask yet
 */
export function ask<T>(question: () => Promise<T> | undefined): Answer<T> {
  let now = $state.raw<T>();
  $effect(() => {
    let stands = true;
    void question()?.then((answer) => {
      if (stands) now = answer;
    });
    return () => (stands = false);
  });
  return {
    get now() {
      return now;
    },
  };
}
