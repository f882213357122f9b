// Prints the line ear's figures on the lines on which it is chosen, note by note where it errs: `node tests/bench/lead-set/report.ts`.
import { lineFigures, validationLines } from './figures.ts';

const { notes, accepted, short, legato, caught, faults } = lineFigures(validationLines());
console.log(faults.join('\n'));
console.log(`${notes} notes; right accepted ${accepted.words}; shorter than 160 ms ${short.words}`);
console.log(`without a pick ${legato.words}; wrong caught ${caught.words}`);
