// A closed list as the choices of a menu.

/** One for each word of the list, in the order of the table. @param labels by words, none of them a number */
export const choicesOf = <K extends string>(
  labels: Readonly<Record<K, string>>,
): readonly { readonly value: K; readonly label: string }[] =>
  (Object.keys(labels) as K[]).map((value) => ({ value, label: labels[value] }));
