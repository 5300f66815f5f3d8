import pino, { type DestinationStream, type Logger } from 'pino'

// Names under which secrets travel; anything under one of them is never written, at any of these depths.
const SECRET = ['password', 'pin', 'passwordHash', 'password_hash', 'csrfToken', 'cookie', 'authorization', 'secret', 'collectionCode']
const paths = SECRET.flatMap((name) => [name, `*.${name}`, `*.*.${name}`, `*.*.*.${name}`])

/** JSON lines on standard output, or into `destination`. */
export const createLogger = (level: string, destination?: DestinationStream): Logger =>
  pino(
    {
      level,
      redact: {
        paths: [
          ...paths,
          'req.headers["x-csrf-token"]',
          'req.headers["set-cookie"]',
          'res.headers["set-cookie"]',
          '*.headers["x-csrf-token"]',
        ],
        censor: '[hidden]',
      },
    },
    destination ?? pino.destination(1),
  )
