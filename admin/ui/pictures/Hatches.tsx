/** The two hatchings of the pictures, to be filled with by `url(#k-hatch-clay)` and `url(#k-hatch-unknown)`. */
export const Hatches = () => (
  <svg width="0" height="0" aria-hidden style={{ position: 'absolute' }}>
    <defs>
      {(['clay', 'unknown'] as const).map((name) => (
        <pattern
          key={name}
          id={`k-hatch-${name}`}
          className={`k-hatch-${name}`}
          width="6"
          height="6"
          patternUnits="userSpaceOnUse"
          patternTransform="rotate(45)"
        >
          <path d="M0 0V6" strokeWidth="4" />
        </pattern>
      ))}
    </defs>
  </svg>
)
