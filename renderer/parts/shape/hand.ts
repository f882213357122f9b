// Which way round a neck is drawn: given once by the shell, read by every diagram.
import { createContext } from 'svelte';

/** Asked at each drawing, so that a change of the setting is drawn at once. */
const [asked, give] = createContext<() => boolean>();

export const giveLeftHanded = give;

/** Is the neck drawn for a left-handed player? */
export const leftHanded = (): (() => boolean) => asked();
