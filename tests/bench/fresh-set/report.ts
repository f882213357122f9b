// Prints the figures of a part in full: `node tests/bench/fresh-set/report.ts choose [--faults] [--cells] [--network FILE]`.
//
// `choose` is what ways to hear and networks are chosen by. `fresh-b`, `fresh-c` and `fresh-d` are looked at once, when everything has been chosen, and by nobody who chooses afterwards.
import { parseArgs } from 'node:util';
import { cellsInFull, changesOf, report } from '../ear-set/figures.ts';
import { isRight, judgedPass, saysRight, saysWrong } from '../ear-set/score.ts';
import { startsTold } from '../start-set/figures.ts';
import { heardTakes } from './heard.ts';
import { PARTS } from './model.ts';

const { values: ask, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    faults: { type: 'boolean' },
    cells: { type: 'boolean' },
    network: { type: 'string' },
  },
});
const part = PARTS.find((name) => name === positionals[0]);
if (!part) throw new Error(`there is no part ‘${positionals[0]}’: say ${PARTS.join(', ')}`);
const takes = await heardTakes(part, ask.network);
const { wrong, saidSo, doubted } = startsTold(takes.map(({ start }) => start));
console.log(report(part, takes));
console.log(`starts wrong ${wrong.words}; said so ${saidSo.words}; doubted ${doubted.words}`);
if (ask.cells) console.log(cellsInFull(changesOf(takes)).join('\n'));
if (ask.faults) console.log(faults().join('\n'));

/** Changes told other than they were, passes likewise, starts that are wrong or doubted. */
function faults(): string[] {
  const told = changesOf(takes).filter((c) => (isRight(c) ? !saysRight(c) : !saysWrong(c)));
  return [
    ...told.map((c) => {
      const { due, played } = c.truth;
      const late = played === null ? '–' : (1000 * (played - due)).toFixed(0);
      return `${c.plan.id} ${c.plan.timbre} ${c.plan.level} change ${c.heard.change} at ${due.toFixed(2)}: ${c.truth.deed} ${late} ms → ${JSON.stringify(c.heard)}`;
    }),
    ...takes.flatMap((take) => {
      const { truth, verdict, clear } = judgedPass(take);
      const { id, timbre, level } = take.plan;
      return clear && truth !== verdict ? [`${id} ${timbre} ${level}: ${truth} → ${verdict}`] : [];
    }),
    ...takes.flatMap(({ plan, start: { off, doubtful } }) =>
      Math.abs(off) > 0.06 || doubtful
        ? [`${plan.id} start ${off.toFixed(3)} off${doubtful ? ', doubted' : ''}`]
        : [],
    ),
  ];
}
