// Brings chart files in one by one; each refusal names its file, and the library stays as it was.
import { MAX_IMPORT_LENGTH } from '../../../app/services/contract.ts';
import { library } from '../../state/library.svelte.ts';
import { messages } from '../../state/messages.svelte.ts';

export async function importFiles(files: readonly File[]): Promise<void> {
  for (const file of files) {
    if (file.size > MAX_IMPORT_LENGTH) {
      const most = MAX_IMPORT_LENGTH / 1e6;
      messages.refuse([
        {
          code: 'file-large',
          message: `‘${file.name}’ is larger than ${most} MB, the most a chart file may have.`,
          cure: 'Choose a chart file that Rungwise exported.',
        },
      ]);
      continue;
    }
    const chart = await library.importText(await file.text());
    if (chart) messages.say(`‘${chart.title}’ was brought in.`);
  }
}
