// Bars as the log keeps them: every chord by the symbol that was typed, so that a stored pass stays readable.
import type { LoggedBar, PlayedBar } from '../../model/unit.ts';

/** Words, remarks, the band and what a section is in its song are no part of what was played. */
export const loggedBar = ({
  held,
  chords,
  words: _words,
  remark: _remark,
  band: _band,
  role: _role,
  ...bar
}: PlayedBar): LoggedBar => ({
  ...bar,
  ...(held && { held: held.symbol }),
  chords: chords.map(({ chord, remark: _said, ...rest }) => ({ ...rest, symbol: chord.symbol })),
});
