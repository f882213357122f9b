// Ten songs of our own as sheets of chords and words: the truth that printed sheets are read against.

/** A line with its chords in square brackets where they are sung; "N.C." is silence. */
export interface SongSection {
  readonly name: string;
  readonly lines: readonly string[];
}

export interface Song {
  readonly title: string;
  readonly by: string;
  readonly key: string;
  readonly capo: number;
  readonly sections: readonly SongSection[];
}

const section = (name: string, ...lines: string[]): SongSection => ({ name, lines });

export const SONGS: readonly Song[] = [
  {
    title: 'Harbour Lights at Noon',
    by: 'The Paper Boats',
    key: 'G',
    capo: 2,
    sections: [
      section('Intro', '[G]   [D]   [Em]   [C]'),
      section(
        'Verse 1',
        '[G]Down by the har[D]bour, the lamps are a[Em]light',
        '[C]A sailor is singing to [G]no one to[D]night',
        'The [Em]gulls have gone quiet, the [C]tide has turned [G]low',
      ),
      section(
        'Chorus',
        '[C]Go, go, go where the [G]water goes',
        '[Am]Add up the lanterns and [D7]nobody knows',
      ),
      section(
        'Verse 2',
        '[G]Am I the only one [D]counting the [Em]boats',
        '[C]A cab at the corner, a [G]dad in his [D]coat',
      ),
      section('Outro', '[C]Low tide, [G]low tide, [D]carry me [G]home'),
    ],
  },
  {
    title: 'Copper Kettle Morning',
    by: 'Ada Quill',
    key: 'A minor',
    capo: 0,
    sections: [
      section(
        'Verse',
        '[Am]Steam on the window and [F]frost on the pane',
        '[C]Somebody whistles the [G]same old refrain',
      ),
      section('Pre-Chorus', '[Dm]Wait for the [Am]water, [Dm]wait for the [E7]bell'),
      section(
        'Chorus',
        '[F]Copper kettle [C]morning, [G]sing me a [Am]song',
        '[F]Copper kettle [C]morning, it [E7]will not be [Am]long',
      ),
      section(
        'Bridge',
        '[Dm7]Every cup I [G7]ever broke is [Cmaj7]mended on the [Fmaj7]shelf',
        '[Bm7b5]Every word I [E7]never spoke I [Am]whisper to my[E7]self',
      ),
    ],
  },
  {
    title: 'The Long Way Down to Ferry Street',
    by: 'Minnow & Co',
    key: 'D',
    capo: 0,
    sections: [
      section('Intro', '[D]  [A/C#]  [Bm]  [G]'),
      section(
        'Verse 1',
        '[D]Take the long way [A/C#]down to Ferry [Bm]Street',
        '[G]Mind the loose stone [D]under your [A]feet',
      ),
      section(
        'Verse 2',
        '[D]Bad Ed the baker is [A/C#]closing his [Bm]door',
        '[G]Face in the window, he [D]waves us no [A]more',
      ),
      section(
        'Refrain',
        '[G]Slow, slow, [A]everything is [D]slow',
        '[Em]Be my com[A7sus4]panion where [A7]ever I [D]go',
      ),
    ],
  },
  {
    title: 'Seven Coats of Paint',
    by: 'Orla Fenn',
    key: 'E',
    capo: 4,
    sections: [
      section(
        'Verse',
        '[E]Seven coats of [A]paint upon the [E]door',
        '[E]Nobody re[A]members what the [B7]first one was for',
      ),
      section(
        'Chorus',
        '[A]Scrape it down, [B7]scrape it down, [E]down to the [C#m]wood',
        '[A]Under all the [B7]colours it is [E]good',
      ),
      section('Solo', '[E]   [A]   [B7]   [E]'),
      section(
        'Verse',
        '[E]A ladder and a [A]bucket and a [E]brush',
        '[E]Early in the [A]morning there is [B7]never any [E]rush',
      ),
    ],
  },
  {
    title: 'Winter Rye',
    by: 'Tam Oster',
    key: 'C',
    capo: 0,
    sections: [
      section(
        'Verse 1',
        '[C]We sowed the winter [Am]rye in the [F]rain',
        '[C]We counted the [G]furrows, we [C]counted again',
      ),
      section(
        'Verse 2',
        '[C]Bridges are icy and [Am]roads are a[F]sleep',
        '[C]The acre is [G]narrow, the [C]acre is deep',
      ),
      section(
        'Chorus',
        '[F]Come the spring, [C]come the spring',
        '[F]Every little [C]blade will [G7]sing',
        '[F]Come the [Fm]spring and [C]what will it [G]bring? [C]',
      ),
    ],
  },
  {
    title: 'Lighthouse Keeper’s Daughter',
    by: 'Salt & Tallow',
    key: 'E minor',
    capo: 0,
    sections: [
      section('Intro', '[Em]  [C]  [G]  [D/F#]'),
      section(
        'Verse',
        '[Em]Thirty-nine steps to the [C]top of the stair',
        '[G]Wind through the keyhole and [D/F#]salt in her hair',
        '[Em]She reads to the moths by the [C]turn of the light',
      ),
      section(
        'Chorus',
        '[G]Burn, burn, [D]burn till the [Em]dawn',
        '[C]Ships in the dark will be [G]gently with[D]drawn',
      ),
      section(
        'Bridge',
        '[Am7]Nobody asked her and [C]nobody may',
        '[Am7]Nobody carried the [D]lantern away',
      ),
      section('Outro', '[Em]Thirty-nine steps and a [C]door, a door, a [G]door'),
    ],
  },
  {
    title: 'Bicycle in the Rain',
    by: 'Pim Halloway',
    key: 'F',
    capo: 3,
    sections: [
      section(
        'Verse',
        '[F]Left on the railing my [Bb]bicycle stands',
        '[F]Rust on the bell and the [C7]rain in its [F]hands',
      ),
      section(
        'Chorus',
        '[Bb]Turn, little [F]wheel, and the [C7]road will turn [F]too',
        '[Bb]Nothing to [F]carry and [Gm]nothing to [C7]do',
      ),
      section('Interlude', '[Bb]   [F/A]   [Gm7]   [C7]'),
      section(
        'Verse',
        '[F]Half of the spokes have a [Bb]tune of their own',
        '[F]Half of the way I was [C7]walking a[F]lone',
      ),
    ],
  },
  {
    title: 'Orchard Road',
    by: 'The Quiet Hours',
    key: 'B minor',
    capo: 0,
    sections: [
      section(
        'Verse 1',
        '[Bm]Apples are red on the [F#m]orchard road',
        '[G]Somebody lifted the [A]heaviest load',
      ),
      section(
        'Chorus',
        '[D]Come a little [A]closer, [Bm]come and see [G]',
        '[D]Every single [A]apple on a [G]single tree',
      ),
      section(
        'Verse 2',
        '[Bm]Ladders are leaning, the [F#m]baskets are full',
        '[G]Evening is heavy and [A]quiet and cool',
      ),
      section('Coda', '[G]Come a little, [A]come a little [Bm]closer'),
    ],
  },
  {
    title: 'Second Bell',
    by: 'Ro Marchetti',
    key: 'A',
    capo: 0,
    sections: [
      section('Intro', '[A]  [E/G#]  [F#m7]  [D]'),
      section(
        'Verse',
        '[A]Second bell is [E/G#]ringing and the [F#m7]platform is [D]bare',
        '[A]Paper cup and [E/G#]ticket and the [F#m7]snow in the [D]air',
      ),
      section('Pre-Chorus', '[Bm7]I forgot the [D]words I had to [E]say'),
      section(
        'Chorus',
        '[A]Oh, second [D]bell, [A]oh, second [E]bell',
        '[F#m]Tell it to the [D]driver, I have [A]nothing [E]to tell',
      ),
      section('Outro', '[A]Ding, [D]dong, [E]ding, [A]gone'),
    ],
  },
  {
    title: 'Inventory',
    by: 'Clerk Nine',
    key: 'G',
    capo: 0,
    sections: [
      section(
        'Verse 1',
        '[G]Eleven grey buttons, a [Cadd9]bag and a bead',
        '[G]A letter I [D]wrote and you never could [Cadd9]read',
        '[N.C.]Nothing else.',
      ),
      section(
        'Chorus',
        '[Em7]Put it in the [Cadd9]inventory, [G]close up the [Dsus4]drawer',
        '[Em7]A cage and a [Cadd9]feather and [G]nothing [D]more',
      ),
      section(
        'Verse 2',
        '[G]Do as you like with the [Cadd9]chair and the bed',
        '[G]As for the [D]lamp, I would keep it in[Cadd9]stead',
      ),
    ],
  },
];
