"""How a student's server behaves: small, without a shell, its kernels out of others' reach."""

from jupyterlab.commands import get_user_settings_dir, get_workspaces_dir

c = get_config()  # noqa: F821  (Jupyter gives it to this file)

# A kernel's sockets are files in the student's own folder. On ports of the machine everybody could
# listen to what a kernel answers.
c.KernelManager.transport = "ipc"

# What nobody uses for an hour goes; a chapter that is open in a browser is in use.
c.MappingKernelManager.cull_idle_timeout = 3600
c.MappingKernelManager.cull_interval = 300
c.MappingKernelManager.cull_connected = False

# Settings and open pages lie in the student's home. The warm process has noted another one.
c.LabApp.user_settings_dir = get_user_settings_dir()
c.LabApp.workspaces_dir = get_workspaces_dir()

# What a class does not need costs memory in each server.
c.ServerApp.jpserver_extensions = {
    "jupyter_lsp": False,
    "jupyter_server_terminals": False,
    "notebook_shim": False,
}
c.ServerApp.terminals_enabled = False
c.LabApp.extension_manager = "readonly"
c.LabApp.news_url = None  # nothing asks another address, and nobody is asked about news
c.LabApp.check_for_updates_class = "jupyterlab.NeverCheckForUpdate"
c.FileContentsManager.delete_to_trash = False
