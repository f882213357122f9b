// Circles in a graph of names: the groups whose members all reach each other (Tarjan 1972).

/** @returns Each circle once, its members sorted. A name that points at itself is no circle. */
export function circles(graph: ReadonlyMap<string, ReadonlySet<string>>): string[][] {
  const order = new Map<string, number>();
  const lowest = new Map<string, number>();
  const open: string[] = [];
  const found: string[][] = [];

  const visit = (name: string): void => {
    order.set(name, order.size);
    lowest.set(name, order.get(name)!);
    open.push(name);
    for (const next of graph.get(name) ?? []) {
      if (!order.has(next)) visit(next);
      if (open.includes(next)) lowest.set(name, Math.min(lowest.get(name)!, lowest.get(next)!));
    }
    if (lowest.get(name) !== order.get(name)) return;
    const group = open.splice(open.indexOf(name));
    if (group.length > 1) found.push(group.sort());
  };

  for (const name of graph.keys()) if (!order.has(name)) visit(name);
  return found;
}

/** The shortest way round a circle, from its first member back to it. */
export function wayRound(
  graph: ReadonlyMap<string, ReadonlySet<string>>,
  circle: readonly string[],
): string[] {
  const start = circle[0]!;
  const cameFrom = new Map<string, string>();
  const queue = [start];
  for (const name of queue) {
    for (const next of graph.get(name) ?? []) {
      if (next === start) return trace(cameFrom, start, name);
      if (!circle.includes(next) || cameFrom.has(next)) continue;
      cameFrom.set(next, name);
      queue.push(next);
    }
  }
  return [...circle];
}

function trace(cameFrom: ReadonlyMap<string, string>, start: string, last: string): string[] {
  const way = [start];
  for (let name = last; name !== start; name = cameFrom.get(name)!) way.unshift(name);
  return [start, ...way];
}
