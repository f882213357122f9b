// Prints the ear's figures on the validation part in full: `node tests/bench/ear-set/report.ts`.
import { validationReport } from './figures.ts';

console.log(validationReport());
