// Bars as the log keeps them: every chord by the symbol that was typed, so that a stored pass stays readable.
import type { LoggedBar, PlayedBar } from '../../model/unit.ts';

export const loggedBar = ({ held, chords, ...bar }: PlayedBar): LoggedBar => ({
  ...bar,
  ...(held && { held: held.symbol }),
  chords: chords.map(({ chord, ...rest }) => ({ ...rest, symbol: chord.symbol })),
});
