// Builds main process, preload and view before the desktop tests.
import { buildAll } from '../../app/build.ts';

export default buildAll;
