import type { FastifyHelmetOptions } from '@fastify/helmet'

/**
 * No script but our own files, no frame, no plug-in. Styles may be inline: the component library writes them into the page,
 * and a style can neither run code nor send anything away under this policy.
 */
const POLICY: { readonly [directive: string]: string[] } = {
  'default-src': ["'self'"],
  'script-src': ["'self'"],
  'style-src': ["'self'", "'unsafe-inline'"],
  'img-src': ["'self'", 'data:', 'blob:'],
  'font-src': ["'self'", 'data:'],
  'connect-src': ["'self'"],
  'object-src': ["'none'"],
  'base-uri': ["'none'"],
  'form-action': ["'self'"],
  'frame-ancestors': ["'none'"],
}
const REFERRER = 'same-origin'
const HSTS_S = 365 * 24 * 60 * 60

export const SECURITY_HEADERS: FastifyHelmetOptions = {
  global: true,
  contentSecurityPolicy: { useDefaults: false, directives: POLICY },
  referrerPolicy: { policy: REFERRER },
  xFrameOptions: { action: 'deny' },
  strictTransportSecurity: { maxAge: HSTS_S, includeSubDomains: true },
  crossOriginEmbedderPolicy: false,
}

/** The same for answers that Fastify gives before any plug-in is asked. */
export const EARLY_HEADERS = {
  'content-security-policy': Object.entries(POLICY)
    .map(([directive, sources]) => `${directive} ${sources.join(' ')}`)
    .join(';'),
  'referrer-policy': REFERRER,
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'strict-transport-security': `max-age=${HSTS_S}; includeSubDomains`,
}
