// What the program says while a dialog is open: the page behind it is out of reach, so the dialog shows it itself.
import { createContext, type Snippet } from 'svelte';

/** Asked as each dialog opens; given once by the shell. */
export const [dialogRemarks, giveDialogRemarks] = createContext<() => Snippet>();
