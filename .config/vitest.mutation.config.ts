import { defineConfig } from 'vitest/config'

const root = new URL('..', import.meta.url).pathname

// The tests of chemistry as the mutation run needs them: the package from its own folder (the linked one in node_modules is
// not mutated), and the same cases for every mutant.
export default defineConfig({
  root,
  resolve: { alias: { '@sightglass/chemistry': `${root}packages/chemistry/src/index.ts` } },
  test: {
    include: ['tests/chemistry/**/*.test.ts'],
    // it reads the sources themselves, which the run has rewritten
    exclude: ['tests/chemistry/properties/package.test.ts'],
    setupFiles: [`${root}.config/mutation-cases.ts`],
    isolate: false,
  },
})
