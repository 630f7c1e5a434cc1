// What may import what. Arrows run one way: web → contract, chemistry; api → contract, chemistry; contract → chemistry;
// seed → the api's doors, contract, chemistry; chemistry → nothing. tests/local/import-rules.test.ts breaks each rule once.
const prismaOrSql = '^(node_modules/(pg|@prisma|pg-copy-streams)/|apps/api/src/platform/(prisma|database))'
const capability = '^apps/api/src/capabilities/([^/]+)/'
const otherCapability = '^apps/api/src/capabilities/(?!$1/)[^/]+/'

/** @type {import('dependency-cruiser').IConfiguration} */
module.exports = {
  forbidden: [
    {
      name: 'no-cycles',
      comment: 'Two files need each other. Move what both need into a third.',
      from: {},
      to: { circular: true },
    },
    {
      name: 'resolvable',
      comment: 'The imported file or package is not there: mend the path, or add the package to the workspace.',
      from: {},
      to: { couldNotResolve: true },
    },
    {
      name: 'chemistry-imports-nothing',
      comment: 'Chemistry is pure: no library, no Node.js, no other workspace. Hand the value in as a parameter.',
      from: { path: '^packages/chemistry/' },
      to: { pathNot: '^packages/chemistry/' },
    },
    {
      name: 'contract-knows-zod-and-chemistry',
      comment: 'The contract is shared with browsers: zod, itself and the lists of chemistry only.',
      from: { path: '^packages/contract/' },
      to: { pathNot: '^(packages/(contract|chemistry)/|node_modules/zod/)' },
    },
    {
      name: 'api-knows-no-screen',
      comment: 'The API must not know the web app, the starter, the seed or the tests.',
      from: { path: '^apps/api/' },
      to: { path: '^(apps/(web|local)|seed|tests)/|^node_modules/(react|next)/' },
    },
    {
      name: 'capability-by-its-index',
      comment: 'Another capability is reached through its index.ts only, and its queries.ts never.',
      from: { path: capability },
      to: { path: otherCapability, pathNot: '/index\\.ts$' },
    },
    {
      name: 'routes-hold-no-work',
      comment: 'routes.ts names schemas and verbs. SQL belongs in queries.ts, judgement about water in the verb.',
      from: { path: '^apps/api/src/capabilities/[^/]+/routes\\.ts$' },
      to: { path: `${prismaOrSql}|^packages/chemistry/|/queries\\.ts$` },
    },
    {
      name: 'queries-know-no-http',
      comment: 'queries.ts answers questions to the database: no fastify, no other capability.',
      from: { path: '^apps/api/src/capabilities/([^/]+)/queries\\.ts$' },
      to: { path: `^node_modules/(@?fastify)|${otherCapability}` },
    },
    {
      name: 'platform-knows-no-capability',
      comment: 'The platform serves every capability and knows none.',
      from: { path: '^apps/api/src/platform/' },
      to: { path: '^apps/api/src/capabilities/' },
    },
    {
      name: 'web-speaks-through-the-contract',
      comment: 'The web app knows the contract and chemistry; the database and the API are reached by HTTP.',
      from: { path: '^apps/web/' },
      to: { path: `^apps/(api|local)/|^(seed|tests|prisma)/|${prismaOrSql}` },
    },
    {
      name: 'browser-has-no-node',
      comment: 'This file runs in browsers, which have no node: modules. Only next.config.ts runs in Node.js alone.',
      from: { path: '^apps/web/', pathNot: '^apps/web/next\\.config\\.ts$' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'drawing-decides-nothing',
      comment:
        'charts/draw maps a prepared model to marks. Whatever needs chemistry or the contract belongs in charts/prepare.',
      from: { path: '^apps/web/charts/draw/' },
      to: { path: '^packages/|^apps/web/lib/' },
    },
    {
      name: 'seed-uses-the-doors',
      comment: 'The seed writes through the API as everybody does. What is missing there is missing for users too.',
      from: { path: '^seed/' },
      to: { path: `^apps/(web|local)/|^tests/|^apps/api/src/(?!index\\.ts)|^node_modules/@prisma/` },
    },
    {
      name: 'nobody-needs-tests-or-seed',
      comment:
        'Product code runs without tests and seed. Only the starter writes the demo (apps/local/src/write-demo.ts).',
      from: { path: '^(apps|packages)/', pathNot: '^apps/local/src/write-demo\\.ts$' },
      to: { path: '^(tests|seed)/' },
    },
    {
      name: 'starter-is-outside',
      comment: 'apps/local starts the parts as processes; it reaches into none of them.',
      from: { path: '^apps/local/' },
      to: { path: '^(apps/(api|web)|packages)/' },
    },
    {
      name: 'packages-by-their-exports',
      comment: 'Import a package by its name, not by a path into its files.',
      from: { path: '^(apps|packages|seed)/([^/]+/)' },
      to: {
        path: '^packages/([^/]+)/',
        pathNot: ['^packages/[^/]+/src/index\\.ts$', '^packages/chemistry/src/plant/index\\.ts$', '^$1/$2'],
      },
    },
  ].map((rule) => ({ severity: 'error', ...rule })),
  options: {
    parser: 'swc',
    doNotFollow: { path: '^node_modules|^apps/api/src/platform/prisma' },
    exclude: { path: '/\\.next/|next-env\\.d\\.ts$' },
    // `import type` counts: what a file knows of is what it depends on
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'types', 'node', 'default'],
      extensions: ['.ts', '.tsx', '.mjs', '.js', '.json'],
    },
  },
}
