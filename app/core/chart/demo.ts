// The charts that a new library starts with: our own inventions, one slow, one swung, one fast.
import { unwrap } from '../result.ts';
import type { Chart } from './model.ts';
import { parseChart } from './notation/parse.ts';

/** Slow, in compound time: four dotted beats to the bar. */
const LOW_TIDE_LANTERNS = `
title: Low Tide Lanterns
key: D
tempo: ♩. = 54
meter: 12/8
capo: 2

[Intro]
strum: eighths D-- D-- D-- D--
| pickup 3/8 / / A | D | G | D | A / / G |

[Verse]
strum: eighths D-- D-U D-- D-U
| D | Bm / G / | D | A / / G |
| D | Bm / G / | Em / A / | D / / A |

[Chorus]
strum: eighths D>-D D>-U D>-D D>DU
|: G / A / | Bm / D/F# / |1. G | A / / D :|
|2. Em / A / | D |

[Bridge]
tempo: ♩. = 60
strum: eighths D-- D-U D-- D-U
| Bm | F#m | G | D / A / |
| Bm | F#m | Em | 6/8 A |

[Outro]
strum: eighths D-- --- D-- ---
| D / A / | G | D / A / | G / / A | D |

form:
Intro
Verse
Chorus
Verse
Chorus ending | Em / A / | Bm |
Bridge
Chorus
Outro added | G / / A | D |
`;

/** In the middle, with swung eighths. */
const PAPER_STREETCAR = `
title: Paper Streetcar
key: F
tempo: ♩ = 112
meter: 4/4
feel: swing 8 2:1

[Intro]
strum: eighths D- D>- D- D>-
| F6 | Dm7 | Gm7 | C7 / / F6 |

[Verse]
strum: eighths D- D>U -U D>-
| pickup 2/4 / C7 | F6 | D7 | Gm7 | C7 |
| F6 / D7 / | Gm7 / C7 / | Am7 / / D7 | Gm7 / C7 / |

[Chorus]
strum: eighths DU D>U DU D>U
|: Bbmaj7 | Bbm6 | Am7 | D7 |
| Gm7 | C7 |1. F6 / / D7 | Gm7 / C7 (/ C7#5) :|
|2. F6 | F6 / / C7 |

[Middle]
feel: straight
strum: eighths D- Dx- D- Dx-
| Dm7 | % | G7 | % |
| 3/4 Gm7 / C7 | % | 4/4 F6 / / C7 |

[Tag]
strum: eighths D- D>U -U D>-
| Am7 / D7 / | Gm7 / C7 / | F6 | N.C. |

form:
Intro
Verse
Chorus
Verse
Chorus
Middle
Chorus ending | F6 / Bbm6 / | F6 |
Tag
`;

/** Fast, and hardly an open chord in it. */
const COPPER_STAIRCASE = `
title: Copper Staircase
key: B minor
tempo: ♩ = 170
meter: 4/4
shape Bm = x24432
shape F#m = 244222

[Intro]
strum: eighths D- D>- D- D>-
| pickup 1/4 F# | Bm | % | G[355433] | A[577655] |

[Verse]
strum: eighths D- DU -U DU
| Bm | % | F#m | % |
| G[355433] | % | A[577655] | A / / F# |

[Lift]
strum: eighths DD DD D>D DD
| Em[x79987] | % | F#m | G[355433] / / A |

[Chorus]
strum: eighths D>U DU D>U DU
|: Bm / G[355433] / | D[x57775] / A[577655] / | Bm / G[355433] / | F# / / A[577655] :| x2

[Bridge]
strum: sixteenths D-DU -UDU D-DU -UDU
| C#m[x46654] | Bm | C#m[x46654] | D[x57775] |
| C#m[x46654] / Bm / | A[577655] / / G | F# {eighths D>- -- D>- DD} | % |

[Outro]
strum: eighths D- D>- D- D>-
| Bm / / A[577655] | G[355433] / / F# | Bm / / A[577655] | F# |
line: Landing, bar 3
part Guitar 1: | 8 4/9 h11 4/9 3/9 h11 3/9 2/10 h12 | 2 2/12b1r 4 1/10~ r |

form:
Intro
Verse x2
Lift
Chorus
Verse
Lift
Chorus
Bridge
Chorus ending | G[355433] / A[577655] / | F# / / F#7 |
Outro added | Bm {eighths D>- -- -- --} |
`;

/** Identities that stay, so that practice on a demo chart is found again. */
const DEMO_TEXTS: readonly (readonly [id: string, text: string])[] = [
  ['demo-low-tide-lanterns', LOW_TIDE_LANTERNS],
  ['demo-paper-streetcar', PAPER_STREETCAR],
  ['demo-copper-staircase', COPPER_STAIRCASE],
];

export const demoCharts = (): readonly Chart[] =>
  DEMO_TEXTS.map(([id, text]) => ({ id, ...unwrap(parseChart(text)) }));
