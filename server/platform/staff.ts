/** Everyone who works at the mill: all roles but the members'. */
export const STAFF = ['manager', 'nutritionist', 'store-keeper', 'laboratory', 'mixer-operator', 'counter-clerk'] as const
