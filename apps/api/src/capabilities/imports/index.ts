export { registerImports } from './routes.ts'
