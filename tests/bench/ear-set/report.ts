// Prints the ear's figures in full: `node tests/bench/ear-set/report.ts [validation|test]`.
import { report } from './figures.ts';

const part = process.argv[2] ?? 'test';
if (part !== 'validation' && part !== 'test')
  throw new Error(`no part of the set is called ${part}`);
console.log(report(part));
