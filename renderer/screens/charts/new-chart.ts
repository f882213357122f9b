// The text a new chart starts with.

/** A short song to begin from, in typed notation. */
export const newChartText = (title: string): string => `title: ${title}
key: G
tempo: ♩ = 90
meter: 4/4

[Verse]
| G | C | Em | D |

[Chorus]
| C | G | D / / C | G |

form:
Verse
Chorus
`;
