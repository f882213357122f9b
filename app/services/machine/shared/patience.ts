// How often a shared file is looked for in vain before it counts as lost rather than late.

/** Looks in a row. */
export interface Patience {
  /** For one that this machine wrote: it is not late in its own folder. */
  readonly own: number;
  /** For one of another machine, which might tell it again itself; or where nothing is there at all, as where a drive is not. */
  readonly others: number;
}

export const PATIENCE: Patience = { own: 3, others: 30 };
