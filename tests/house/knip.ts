// What nobody uses: files, exports and packages, of all there is and (with --production) of what is shipped.

/** What is shipped may export for a test what else only its own file uses; nothing else may. */
const shipped = process.argv.includes('--production');

export default {
  entry: [
    'app/electron/{bundled,main,preload,unused-by-conf}.ts!',
    'app/{start,build,judge}.ts!',
    'renderer/main.ts!',
    'renderer/audio/native-audio.ts!',
    'renderer/**/*worker.ts!',
    'tests/bench/rows/*.ts',
    'tests/bench/*/{fit*,report,five-students}.ts',
    'tests/bench/{click/in-page,record/draw,record/open-history}.ts',
    'tests/browser/audio/recorder.js',
    'tests/desktop/{global-setup,playwright.config}.ts',
    'tests/desktop/standin/{hook,run,electron}.ts',
    'tests/desktop/scenarios/**/*.ts',
    'tests/pictures/*.ts',
    'tests/reference/music/first-core.ts',
    'tests/browser/{run,global-setup,playwright.config}.ts',
    'tests/house/*.ts',
    'tests/**/*.{test,spec}.ts',
  ],
  project: ['app/**/*.{ts,svelte}!', 'renderer/**/*.{ts,svelte}!', 'tests/**/*.{ts,js}'],
  ignoreDependencies: ['app-builder-lib', '@electron/(asar|fuses)', 'tonejs-instrument-guitar-.+'],
  ignoreBinaries: [
    'aubioonset',
    'ffmpeg',
    'fluidsynth',
    'sox',
    'timidity',
    'apt-get',
    'mount',
    'umount',
    'age',
    'openssl',
  ],
  ignoreExportsUsedInFile: shipped || { interface: true, type: true },
};
