"""`python -m assistant` is `traycall`."""

from assistant.cli.main import main

raise SystemExit(main())
