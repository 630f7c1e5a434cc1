import { defineConfig } from 'prisma/config'

// `prisma generate` does not use the native schema engine, but every command first tries to fetch it.
process.env.PRISMA_SCHEMA_ENGINE_BINARY ??= process.execPath

export default defineConfig({
  schema: '../prisma/schema.prisma',
  migrations: { path: '../prisma/migrations' },
})
