// What is used of papaparse, typed here: its published types bring Node's into the core and the view.
declare namespace Papa {
  interface Dialect {
    readonly newline?: string;
    readonly delimiter?: string;
  }
  /** Rows as CSV; text that `escapeFormulae` matches gets an apostrophe in front. */
  function unparse(
    rows: readonly (readonly unknown[])[],
    options: Dialect & { readonly escapeFormulae?: boolean | RegExp },
  ): string;
  /** With `header` each row is an object by the names of the columns, else a list of cells. */
  function parse<Row>(
    text: string,
    options: Dialect & { readonly header?: boolean; readonly skipEmptyLines?: boolean },
  ): { readonly data: Row[]; readonly errors: readonly { readonly message: string }[] };
}
export default Papa;
