import type { FastifyHelmetOptions } from '@fastify/helmet'

/**
 * No script but our own files, no frame, no plug-in. Styles may be inline: the component library writes them into the page,
 * and a style can neither run code nor send anything away under this policy.
 */
export const SECURITY_HEADERS: FastifyHelmetOptions = {
  global: true,
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'self'"],
      scriptSrc: ["'self'"],
      styleSrc: ["'self'", "'unsafe-inline'"],
      imgSrc: ["'self'", 'data:', 'blob:'],
      fontSrc: ["'self'", 'data:'],
      connectSrc: ["'self'"],
      objectSrc: ["'none'"],
      baseUri: ["'none'"],
      formAction: ["'self'"],
      frameAncestors: ["'none'"],
    },
  },
  referrerPolicy: { policy: 'same-origin' },
  xFrameOptions: { action: 'deny' },
  crossOriginEmbedderPolicy: false,
}
