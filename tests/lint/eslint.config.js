// Lint rules of the house; the layer rule (who may import whom) is the table `layers` below.
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import tseslint from 'typescript-eslint';

const outside = {
  node: ['node:*', 'fs', 'path', 'os', 'http', 'crypto'],
  electron: ['electron', 'electron-store', 'conf'],
  view: ['svelte', 'svelte/*', 'tone', 'uplot'],
};

/** Folder → what a file in it must not import. Data flows chart → … → plan; core knows nobody. */
const layers = {
  'app/core/**': [
    ...outside.node,
    ...outside.electron,
    ...outside.view,
    '**/services/**',
    '**/electron/**',
    '**/browser-host/**',
    '**/renderer/**',
  ],
  'app/services/**': [
    'electron',
    ...outside.view,
    '**/electron/**',
    '**/browser-host/**',
    '**/renderer/**',
  ],
  'app/electron/**': [...outside.view, '**/browser-host/**', '**/renderer/**'],
  'app/browser-host/**': ['electron', ...outside.view, '**/electron/**', '**/renderer/**'],
  'renderer/**': [
    ...outside.node,
    ...outside.electron,
    '**/services/machine/**',
    '**/electron/**',
    '**/browser-host/**',
  ],
};

/** Tone and Web Audio live in renderer/audio only. */
const audioOnly = { name: 'tone', message: 'Tone lives in renderer/audio only.' };

const layerRules = Object.entries(layers).map(([folder, banned]) => ({
  files: [`${folder}/*.{ts,svelte}`, `${folder}/*.svelte.ts`],
  rules: {
    'no-restricted-imports': [
      'error',
      {
        paths: folder === 'renderer/**' ? [] : [audioOnly],
        patterns: [{ group: banned, message: `Layer rule: ${folder} must not import this.` }],
      },
    ],
  },
}));

const toneOutsideAudio = {
  files: [
    'renderer/{state,screens,parts,theme,shell,input,page}/**/*.{ts,svelte}',
    'renderer/*.{ts,svelte}',
  ],
  rules: {
    'no-restricted-imports': [
      'error',
      { paths: [audioOnly], patterns: [{ group: layers['renderer/**'] }] },
    ],
  },
};

export default tseslint.config(
  { ignores: ['**/node_modules/**', '**/out/**', '**/dist/**', '**/test-results/**', '.cache/**'] },
  ...tseslint.configs.recommended,
  ...svelte.configs['flat/recommended'],
  {
    basePath: new URL('../..', import.meta.url).pathname,
    languageOptions: { globals: { ...globals.browser, ...globals.node } },
    rules: {
      'no-undef': 'off',
      eqeqeq: ['error', 'always'],
      'max-lines': ['error', { max: 450, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': ['warn', { max: 60, skipBlankLines: true, skipComments: true }],
      'no-console': 'off',
      '@typescript-eslint/switch-exhaustiveness-check': 'off',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
    },
  },
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: { parserOptions: { parser: tseslint.parser } },
  },
  { files: ['tests/**/*.ts'], rules: { 'max-lines-per-function': 'off' } },
  ...layerRules,
  toneOutsideAudio,
);
