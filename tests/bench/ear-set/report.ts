// Prints the ear's figures in full: `node tests/bench/ear-set/report.ts [train|held-out]`.
import { report } from './figures.ts';

const half = process.argv[2] ?? 'held-out';
if (half !== 'train' && half !== 'held-out')
  throw new Error(`no half of the set is called ${half}`);
console.log(report(half));
