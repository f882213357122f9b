// Waits for what comes by itself, with room for a machine that does other things as well.
import { vi } from 'vitest';

/** Looks again until `look` throws no more; a minute at most. */
export const soon = (look: () => void): Promise<void> => vi.waitFor(look, { timeout: 60_000 });
