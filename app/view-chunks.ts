// How the built view is cut into files: few, because each packs worse than all together and costs a request; and so
// that no thread loads what draws, and the first screen nothing it does not show.
import type { Rolldown } from 'vite';

type Graph = Rolldown.ChunkingContext;
type Root = 'first screen' | 'thread' | 'later';

/** The shell, and the room it opens on a new machine. */
const FIRST_SCREEN = /[\\/]renderer[\\/](main\.ts|screens[\\/]today[\\/]Today\.svelte)$/;
const THREAD = /worker\.ts$/;
const ROOMS = /[\\/]renderer[\\/](screens|audio[\\/]capture)[\\/]/;

/** In order of precedence; what falls to none of them is cut as Rolldown sees fit. */
export const viewChunks: Rolldown.CodeSplittingGroup[] = [
  of('common', 4, (roots) => roots.has('thread') && roots.size > 1),
  of('first', 3, (roots) => roots.has('first screen')),
  // With all they need, the microphone too; sound waits for its first use.
  of('rooms', 1, (roots, id) => !roots.has('thread') && ROOMS.test(id)),
];

function of(
  name: string,
  priority: number,
  takes: (roots: ReadonlySet<Root>, id: string) => boolean,
): Rolldown.CodeSplittingGroup {
  return { name: (id, graph) => (takes(rootsOf(id, graph), id) ? name : null), priority };
}

/** Whence a module is reached by imports that are not put off. */
function rootsOf(id: string, graph: Graph): ReadonlySet<Root> {
  const roots = new Set<Root>();
  // A set grows while it is walked.
  const above = new Set([id]);
  for (const module of above) {
    const importers = graph.getModuleInfo(module)?.importers ?? [];
    if (FIRST_SCREEN.test(module)) roots.add('first screen');
    else if (THREAD.test(module)) roots.add('thread');
    else if (importers.length === 0) roots.add('later');
    else importers.forEach((importer) => above.add(importer));
  }
  return roots;
}
