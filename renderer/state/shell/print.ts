// Prints the open sheet: to a PDF where the host can, else by the browser's own print.
import type { Problem } from '../../../app/core/base/result.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import { ServiceError } from '../../../app/services/contract/service-error.ts';
import type { Messages } from '../messages/messages.svelte.ts';

export type Paper = 'A4' | 'Letter';

/** Prints or saves the sheet as the host can; what fails is told in a message. */
export async function printSheet(
  {
    services,
    messages,
  }: { readonly services: Pick<Services, 'call'>; readonly messages: Messages },
  title: string,
  paper: Paper,
): Promise<void> {
  const answer = await services.call('host.printPdf', { title, paper }).catch((error: unknown) => {
    messages.refuse(error instanceof ServiceError ? error.problems : [notMade(error)]);
    return { kind: 'cancelled' } as const;
  });
  switch (answer.kind) {
    case 'saved':
      return messages.say(`Saved as ${answer.path}.`);
    case 'cancelled':
      return;
    case 'not-saved':
      return messages.refuse([
        {
          code: 'pdf-not-saved',
          message: `The sheet could not be saved as ${answer.path}: ${answer.why}`,
          cure: 'Choose another folder, or close the file where it is open.',
        },
      ]);
    case 'use-browser-print':
      window.print();
  }
}

const notMade = (error: unknown): Problem => ({
  code: 'pdf-not-made',
  message: `The sheet could not be made into a PDF: ${error instanceof Error ? error.message : String(error)}`,
  cure: 'Try again; if it stays, start Rungwise again.',
});

/** While on, pages are of this paper and only the sheet is printed. Returns the function that ends it. */
export function pageOf(paper: Paper): () => void {
  // Through the CSSOM: an inline style element is not allowed by the page's policy.
  const style = new CSSStyleSheet();
  style.replaceSync(`@page { size: ${paper === 'A4' ? 'A4' : 'letter'}; margin: 12mm 13mm; }`);
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, style];
  document.documentElement.classList.add('sheet-open');
  return () => {
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== style);
    document.documentElement.classList.remove('sheet-open');
  };
}
