// Every level at full, for tests that measure what is mixed.
import { LEVEL_NAMES, type Levels } from '../../app/core/sound/levels.ts';

export const FULL_LEVELS = Object.fromEntries(LEVEL_NAMES.map((name) => [name, 1])) as Levels;
