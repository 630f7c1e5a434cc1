import { createServer } from 'node:net'

/** null when the port can be had, otherwise the system's reason. */
export function portTrouble(port: number, host = '127.0.0.1'): Promise<string | null> {
  return new Promise((resolve) => {
    const server = createServer()
    server.once('error', (error: NodeJS.ErrnoException) => resolve(error.code ?? error.message))
    server.listen({ port, host, exclusive: true }, () => server.close(() => resolve(null)))
  })
}

export function freePort(host = '127.0.0.1'): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer()
    server.once('error', reject)
    server.listen({ port: 0, host }, () => {
      const address = server.address()
      const port = typeof address === 'object' && address ? address.port : 0
      server.close(() => resolve(port))
    })
  })
}
