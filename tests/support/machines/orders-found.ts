// Orders of steps in which something was once lost, or left: each is taken once more.
import type { Step } from './interleaved.ts';
import { KNOWN } from './orders.ts';

type Found = readonly [what: string, machines: number, steps: readonly Step[]];

export const FOUND: readonly Found[] = [
  [
    'a write whose followers were gathered',
    3,
    [
      { does: 'join', m: 2, n: 979 },
      { does: 'edit', m: 2, n: 153 },
      { does: 'sync', m: 2, n: 921 },
      { does: 'send all', m: 2, n: 345 },
      { does: 'edit', m: 2, n: 855 },
      { does: 'play while it syncs', m: 2, n: 774 },
      { does: 'unset', m: 2, n: 655 },
    ],
  ],
  [
    'what was told just before the program died',
    2,
    [
      { does: 'set', m: 0, n: 398 },
      { does: 'die in a sync', m: 0, n: 366 },
      { does: 'play', m: 0, n: 0 },
      { does: 'unset', m: 0, n: 692 },
      ...Array.from({ length: 8 }, () => ({ does: 'play', m: 0, n: 0 }) as const),
    ],
  ],
  [
    'one of two files that others were gathered in, destroyed while what it was made of lies elsewhere',
    2,
    [
      { does: 'send torn', m: 0, n: 0 },
      { does: 'play', m: 0, n: 0 },
      { does: 'edit', m: 0, n: 0 },
      { does: 'set while it syncs', m: 0, n: 4 },
      { does: 'send all', m: 0, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'destroy', m: 0, n: 3 },
      { does: 'play', m: 0, n: 0 },
    ],
  ],
  [
    'a destroyed file that a backup does not know of, with what the backup holds',
    2,
    [
      { does: 'play while it syncs', m: 0, n: 0 },
      { does: 'back up', m: 0, n: 0 },
      { does: 'set', m: 0, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'destroy', m: 0, n: 0 },
      { does: 'restore', m: 0, n: 0 },
      { does: 'play', m: 0, n: 0 },
    ],
  ],
  [
    'files gathered under a new name',
    2,
    [
      { does: 'play', m: 0, n: 877 },
      { does: 'sync', m: 0, n: 684 },
      { does: 'send all', m: 0, n: 70 },
      { does: 'play while it syncs', m: 0, n: 731 },
      { does: 'edit', m: 0, n: 671 },
      { does: 'die in a sync', m: 0, n: 333 },
      { does: 'play while it syncs', m: 0, n: 684 },
    ],
  ],
  [
    'rest: files of as many desks as are gathered at once',
    3,
    [
      { does: 'play', m: 2, n: 432 },
      { does: 'teach', m: 2, n: 29 },
      { does: 'report', m: 2, n: 680 },
    ],
  ],
  [
    'what was read of somebody whom another machine told of late',
    2,
    [
      ...KNOWN,
      { does: 'report', m: 0, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'send all', m: 0, n: 0 },
      { does: 'remove for good', m: 1, n: 0 },
      { does: 'sync', m: 1, n: 0 },
      { does: 'fetch all', m: 1, n: 0 },
      { does: 'sync', m: 1, n: 0 },
    ],
  ],
  [
    'whose file it is where the program ends while a new name is taken',
    3,
    [
      { does: 'join', m: 1, n: 0 },
      { does: 'teach', m: 0, n: 949 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'send all', m: 0, n: 0 },
      { does: 'fetch all', m: 1, n: 0 },
      { does: 'sync', m: 1, n: 0 },
      { does: 'report', m: 1, n: 160 },
      { does: 'die in a sync', m: 1, n: 787 },
      { does: 'remove for good', m: 2, n: 478 },
      { does: 'die in a sync', m: 1, n: 131 },
    ],
  ],
  [
    'what was played, and not told yet when the log was made anew and somebody removed',
    2,
    [
      { does: 'teach', m: 0, n: 218 },
      { does: 'remove while it syncs', m: 2, n: 73 },
      { does: 'play while it syncs', m: 0, n: 203 },
      { does: 'report', m: 2, n: 224 },
      { does: 'send', m: 2, n: 180 },
      { does: 'play while it syncs', m: 2, n: 776 },
      { does: 'mend the log', m: 0, n: 899 },
      { does: 'remove for good', m: 2, n: 698 },
    ],
  ],
  [
    'a part of a file that was gathered with others, and comes back to who wrote it',
    3,
    [
      { does: 'join', m: 1, n: 0 },
      { does: 'teach', m: 1, n: 149 },
      { does: 'set', m: 1, n: 524 },
      { does: 'sync', m: 1, n: 733 },
      { does: 'play', m: 1, n: 282 },
      { does: 'send torn', m: 1, n: 999 },
      { does: 'remove while it syncs', m: 2, n: 977 },
      { does: 'die while removing', m: 1, n: 43 },
      { does: 'play while it syncs', m: 1, n: 587 },
    ],
  ],
  [
    'whose file it is where the name was taken after the backup that was brought back',
    3,
    [
      { does: 'teach', m: 0, n: 879 },
      { does: 'back up', m: 0, n: 383 },
      { does: 'destroy', m: 2, n: 931 },
      { does: 'sync', m: 0, n: 437 },
      { does: 'restore', m: 0, n: 739 },
      { does: 'die while removing', m: 1, n: 777 },
    ],
  ],
  [
    'what stands beside somebody who is removed, in a file that comes back while it syncs',
    2,
    [
      { does: 'join', m: 1, n: 0 },
      { does: 'back up', m: 1, n: 0 },
      { does: 'teach', m: 1, n: 1 },
      { does: 'edit', m: 1, n: 0 },
      { does: 'sync', m: 1, n: 0 },
      { does: 'send all', m: 1, n: 0 },
      { does: 'restore', m: 1, n: 0 },
      { does: 'restore the folder', m: 1, n: 0 },
      { does: 'remove for good', m: 1, n: 1 },
      { does: 'fetch while it syncs', m: 1, n: 0 },
    ],
  ],
  [
    'a file of who goes on with a copy of this data folder, in which somebody stands who is removed here',
    2,
    [
      { does: 'join', m: 1, n: 0 },
      { does: 'copy the machine', m: 0, n: 481 },
      { does: 'remove while it syncs', m: 1, n: 580 },
      { does: 'teach', m: 0, n: 199 },
    ],
  ],
  [
    'a text of a data folder that was copied, where the copy sets another and then a third over its own',
    2,
    [
      { does: 'edit', m: 0, n: 847 },
      { does: 'copy the machine', m: 1, n: 581 },
      { does: 'edit', m: 2, n: 219 },
      { does: 'send all', m: 2, n: 0 },
      { does: 'fetch all', m: 1, n: 0 },
      { does: 'edit while it syncs', m: 1, n: 479 },
    ],
  ],
  [
    'what was played on a log that was brought back alone',
    2,
    [
      { does: 'join', m: 1, n: 0 },
      { does: 'back up', m: 0, n: 933 },
      { does: 'play', m: 1, n: 582 },
      { does: 'sync', m: 1, n: 0 },
      { does: 'send all', m: 1, n: 0 },
      { does: 'fetch all', m: 2, n: 0 },
      { does: 'sync', m: 2, n: 0 },
      { does: 'play', m: 2, n: 581 },
      { does: 'sync', m: 2, n: 0 },
      { does: 'restore the log', m: 0, n: 43 },
      { does: 'play', m: 0, n: 534 },
    ],
  ],
  [
    'one of two files of one number, by a data folder and its copy, destroyed while the other is there',
    3,
    [
      { does: 'send all', m: 0, n: 0 },
      { does: 'fetch all', m: 2, n: 0 },
      { does: 'copy the machine', m: 2, n: 2 },
      { does: 'play', m: 0, n: 0 },
      { does: 'play', m: 2, n: 0 },
      { does: 'sync', m: 2, n: 0 },
      { does: 'destroy', m: 0, n: 1 },
    ],
  ],
  ...[5, 10, 15].map((n): Found => {
    const steps: readonly Step[] = [
      { does: 'join', m: 1, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'set', m: 0, n: 1 },
      { does: 'die in a sync', m: 0, n },
      { does: 'unset', m: 0, n: 8 },
    ];
    return [
      `what was set, told, and taken back after the program had died, ${n} changes on`,
      2,
      steps,
    ];
  }),
  ...[5, 10, 15].map((n): Found => {
    const steps: readonly Step[] = [
      { does: 'join', m: 1, n: 0 },
      { does: 'teach', m: 0, n: 0 },
      { does: 'edit', m: 0, n: 0 },
      { does: 'sync', m: 0, n: 0 },
      { does: 'remove for good', m: 0, n: 0 },
      { does: 'die in a sync', m: 0, n },
    ];
    return [
      `what stands beside somebody who is removed where the program dies, ${n} changes on`,
      2,
      steps,
    ];
  }),
];
