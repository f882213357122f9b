// Prints the figures of a part in full: `node tests/bench/fresh-set/report.ts fresh-a [--faults | --cells]`.
//
// `fresh-b` is looked at once, when everything has been chosen, and by nobody who chooses afterwards.
import { cellsInFull, changesOf, report } from '../ear-set/figures.ts';
import { isRight, judgedPass, saysRight, saysWrong } from '../ear-set/score.ts';
import { startsTold } from '../start-set/figures.ts';
import { heardTakes } from './heard.ts';

const [part, detail] = process.argv.slice(2);
if (part !== 'fresh-a' && part !== 'fresh-b') {
  throw new Error(`there is no part ‘${part}’: say fresh-a or fresh-b`);
}
const takes = await heardTakes(part);
const { wrong, saidSo, doubted } = startsTold(takes.map(({ start }) => start));
console.log(report(part, takes));
console.log(`starts wrong ${wrong.words}; said so ${saidSo.words}; doubted ${doubted.words}`);
if (detail === '--cells') console.log(cellsInFull(changesOf(takes)).join('\n'));
if (detail === '--faults') console.log(faults().join('\n'));

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
