/** A plain value that can stand in a problem document or a log line. */
export type Fact = string | number | boolean | null | readonly Fact[] | { readonly [name: string]: Fact }
export type Facts = { readonly [name: string]: Fact }

/**
 * Every problem the mill can answer with. `platform/http/problems.ts` gives each its HTTP status and title;
 * a test fails when a code stands in only one of the two places.
 */
export const PROBLEM_CODES = [
  // about the request
  'bad-input',
  'not-signed-in',
  'not-allowed',
  'not-found',
  'method-not-allowed',
  'csrf-refused',
  'wrong-login',
  'too-many-tries',
  'wrong-password',
  'idempotency-key-missing',
  'idempotency-key-reused',
  'idempotency-key-busy',
  'revision-missing',
  'stale-revision',
  'payload-too-large',
  'unsupported-media-type',
  // about the mill's day
  'ingredient-unknown',
  'supplier-unknown',
  'already-exists',
  'lot-not-on-hold',
  'lot-not-released',
  'lot-expired',
  'safety-block',
  'formula-not-draft',
  'formula-not-submitted',
  'formula-not-approved',
  'self-approval',
  'formula-infeasible',
  'order-infeasible',
  'stock-short',
  'wrong-state',
  'flock-unknown',
  'wrong-code',
  // about us
  'busy',
  'solver-timeout',
  'internal',
] as const
export type ProblemCode = (typeof PROBLEM_CODES)[number]

/** One field of the request that is wrong: where (JSON pointer-like path), what, and what is allowed. */
export type FieldError = { readonly path: string; readonly code: string; readonly message: string; readonly facts?: Facts }

/** A refusal of the domain: a code and facts, nothing of HTTP. */
export class MillError extends Error {
  constructor(
    readonly code: ProblemCode,
    readonly facts: Facts = {},
    readonly fields: readonly FieldError[] = [],
    options?: ErrorOptions,
  ) {
    super(code, options)
    this.name = 'MillError'
  }
}

/** A refusal that is about one field of what was sent. */
export const fieldError = (code: ProblemCode, path: string, fieldCode: string, message: string, facts: Facts = {}): MillError =>
  new MillError(code, facts, [{ path, code: fieldCode, message, facts }])
