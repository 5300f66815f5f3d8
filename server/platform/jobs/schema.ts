import { runMigrations } from 'graphile-worker'
import pg from 'pg'

// graphile-worker guards its tables by row: without a policy the service would neither see nor add a job.
const RIGHTS = `
  GRANT USAGE ON SCHEMA graphile_worker TO kinu_app;
  GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA graphile_worker TO kinu_app;
  GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA graphile_worker TO kinu_app;
  GRANT EXECUTE ON ALL FUNCTIONS IN SCHEMA graphile_worker TO kinu_app;
  DO $$
  DECLARE guarded record;
  BEGIN
    FOR guarded IN SELECT c.relname FROM pg_class c JOIN pg_namespace n ON n.oid = c.relnamespace
                   WHERE n.nspname = 'graphile_worker' AND c.relkind = 'r' AND c.relrowsecurity
                     AND NOT EXISTS (SELECT FROM pg_policy p WHERE p.polrelid = c.oid AND p.polname = 'kinu_app_works')
    LOOP
      EXECUTE format('CREATE POLICY kinu_app_works ON graphile_worker.%I TO kinu_app USING (true) WITH CHECK (true)', guarded.relname);
    END LOOP;
  END $$`

const LOCK = 7_204_918_534

/** Makes or renews the tables of the jobs, as their owner; one process at a time. */
export const migrateJobs = async (ownerUrl: string): Promise<void> => {
  const client = new pg.Client({ connectionString: ownerUrl, application_name: 'kinu migrations' })
  await client.connect()
  try {
    await client.query('BEGIN')
    await client.query('SELECT pg_advisory_xact_lock($1)', [LOCK])
    await runMigrations({ connectionString: ownerUrl, maxPoolSize: 1 })
    await client.query(RIGHTS)
    await client.query('COMMIT')
  } finally {
    await client.end()
  }
}
