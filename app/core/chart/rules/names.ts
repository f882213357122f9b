// Which names can be pointed at: they stand in headings, in the form and in unit keys.
import { MAX_NAME } from '../../model/limits.ts';

/** No signs that part names from each other: [ ] | , : = */
const NAME = /^[^\s[\]|,:=][^[\]|,:=\n\r\t]*$/u;

/** Can it name a section, a lead or a part, and be typed and found again? */
export const isName = (name: string): boolean =>
  NAME.test(name) && name.trim() === name && name.length <= MAX_NAME;
