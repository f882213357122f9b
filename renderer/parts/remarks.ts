// What the program says at the edge of the window, for those who cover that edge: an open dialog, and a stage.
import { createContext, type Snippet } from 'svelte';

/** Asked by whoever shows it instead; given once by the shell. */
export const [remarksOfTheWindow, giveRemarks] = createContext<() => Snippet>();
