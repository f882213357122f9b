// Lint rules. Who may import whom is in tests/house/layers.ts and checked by `npm run check:house`.
import { fileURLToPath } from 'node:url';
import svelte from 'eslint-plugin-svelte';
import globals from 'globals';
import tseslint from 'typescript-eslint';

export default tseslint.config(
  { ignores: ['**/node_modules/**', '**/out/**', '**/dist/**', '**/test-results/**', '.cache/**'] },
  ...tseslint.configs.recommended,
  ...svelte.configs['flat/recommended'],
  {
    basePath: fileURLToPath(new URL('../..', import.meta.url)),
    languageOptions: { globals: { ...globals.browser, ...globals.node } },
    rules: {
      'no-undef': 'off',
      eqeqeq: ['error', 'always'],
      'max-lines': ['error', { max: 450, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': ['warn', { max: 60, skipBlankLines: true, skipComments: true }],
      'no-console': 'off',
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/no-unused-vars': ['error', { argsIgnorePattern: '^_' }],
    },
  },
  {
    files: ['**/*.svelte', '**/*.svelte.ts'],
    languageOptions: { parserOptions: { parser: tseslint.parser } },
  },
  {
    files: ['app/**/*.ts', 'renderer/**'],
    ignores: ['app/core/base/checked.ts'],
    rules: {
      'no-restricted-properties': [
        'error',
        {
          property: 'safeParse',
          message: 'It can throw: use `checked` of app/core/base/checked.ts.',
        },
      ],
    },
  },
  {
    files: ['app/core/**/*.ts'],
    rules: {
      'no-restricted-syntax': [
        'error',
        ...[
          "CallExpression[callee.object.name='Date'][callee.property.name='now']",
          "NewExpression[callee.name='Date'][arguments.length=0]",
          "CallExpression[callee.object.name='Math'][callee.property.name='random']",
        ].map((selector) => ({
          selector,
          message: 'The core has no clock and no luck of its own: take it as an argument.',
        })),
      ],
    },
  },
  { files: ['tests/**/*.ts'], rules: { 'max-lines-per-function': 'off' } },
);
