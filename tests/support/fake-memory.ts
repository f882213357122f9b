// What a window remembers, for tests: nothing outlives the test.
import type { Memory } from '../../renderer/page/memory.ts';

export function fakeMemory(): Memory {
  const kept = new Map<string, string>();
  return {
    getItem: (key) => kept.get(key) ?? null,
    setItem: (key, value) => void kept.set(key, value),
  };
}
