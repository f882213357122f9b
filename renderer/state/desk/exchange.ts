// What reads and writes the files of the desk, fetched with the first of them: no room needs it to open.

export { parseJson } from '../../../app/core/chart/chart-file.ts';
export { dueCalendar } from '../../../app/core/exchange/desk/icalendar.ts';
export { mergeReport } from '../../../app/core/exchange/desk/report-merge.ts';
export {
  composeReport,
  readReport,
  reportForm,
  writeReport,
} from '../../../app/core/exchange/desk/report.ts';
export {
  mergeTaskSheet,
  previewTaskSheet,
} from '../../../app/core/exchange/desk/task-sheet-merge.ts';
export { readTaskSheet, writeTaskSheet } from '../../../app/core/exchange/desk/task-sheet.ts';
export { withBarsOf } from '../../../app/core/progress/as-set.ts';
