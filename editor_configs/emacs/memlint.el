;;; memlint.el --- memlint in Emacs through Eglot -*- lexical-binding: t; -*-

;; Eglot comes with Emacs 29 and newer; for 26.3 to 28 it is a package of that name.

;;; Code:

(require 'eglot)

(add-to-list 'eglot-server-programs
             '((verilog-mode vhdl-mode) . ("memlint" "serve")))

(add-hook 'verilog-mode-hook #'eglot-ensure)
(add-hook 'vhdl-mode-hook #'eglot-ensure)

(defun memlint--ask (command)
  "The answer of one of the server's commands, COMMAND, about this buffer's file."
  (let ((uri (if (fboundp 'eglot-path-to-uri) 'eglot-path-to-uri 'eglot--path-to-uri))
        (server (or (eglot-current-server) (user-error "No memlint serves this buffer"))))
    (jsonrpc-request server :workspace/executeCommand
                     (list :command command
                           :arguments (vector (funcall uri (buffer-file-name)))))))

(defun memlint-configuration ()
  "Tell by which configuration, device and top this file is judged."
  (interactive)
  (message "%s" (plist-get (memlint--ask "memlint.whichConfiguration") :message)))

(defun memlint-overview ()
  "Show the page about the project of this file."
  (interactive)
  (browse-url (plist-get (memlint--ask "memlint.overview") :uri)))

(provide 'memlint)
;;; memlint.el ends here
