// A worker of the unit tests is ended by a signal: what Node has compiled in it is kept for the next run all the same.
import module from 'node:module';

process.once('SIGTERM', () => {
  module.flushCompileCache();
  process.exit();
});
