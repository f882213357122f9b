// Binary search over things in order of time.

/**
 * Index of the last item for which `order(item)` is not above 0, or −1. `order` is negative, zero or
 * positive as the item lies before, at or after what is looked for, and the items are sorted by it.
 */
export function lastAtOrBefore<T>(items: readonly T[], order: (item: T) => number): number {
  let low = 0;
  let high = items.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (order(items[middle]!) <= 0) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}
