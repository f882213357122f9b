// The order of texts by their characters' numbers: the same on every machine, whatever its language.

/** Below 0 where `a` comes first, 0 where both are the same. */
export const textOrder = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);
