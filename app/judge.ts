// `npm run judge`: judges a recording, and prints a table, or JSON for other programs.
import { answerTo } from './judge-command.ts';

const { judged, text } = answerTo(process.argv.slice(2));
if (judged) console.log(text);
else {
  console.error(text);
  process.exitCode = 1;
}
