// What a screen builds but the window keeps.

/**
 * Builds outside of whatever screen is being set up. Svelte ends what is derived inside a screen when that screen is
 * left, and says so to nobody who reads it later: it keeps its last value.
 */
export function outlive<T>(build: () => T): T {
  let built: T;
  $effect.root(() => {
    built = build();
  });
  return built!;
}
