// `npm start`: looks whether this Node will do, and keeps what it compiles beside the packages. The next start is then
// quicker and holds less memory, since nothing need read TypeScript. Where nothing can be kept, it is compiled again.
import './enough-node.cjs';
import module from 'node:module';
import { fileURLToPath } from 'node:url';

const kept = fileURLToPath(new URL('../node_modules/.cache/rungwise', import.meta.url));
module.enableCompileCache(kept);
await import('./start.ts');
