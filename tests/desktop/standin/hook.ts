// `node --import hook.ts`: makes `import … from 'electron'` the stand-in beside this file.
import { registerHooks } from 'node:module';

const standIn = new URL('./electron.ts', import.meta.url).href;

registerHooks({
  resolve: (specifier, context, next) =>
    specifier === 'electron' ? { url: standIn, shortCircuit: true } : next(specifier, context),
});
